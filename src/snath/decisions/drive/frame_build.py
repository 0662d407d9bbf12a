"""Build a frame from the tables of a route file that passed every check."""

from snath.decisions.drive.belt import Belt
from snath.decisions.drive.frame import Fit, Frame, Place, Spring
from snath.decisions.drive.frame_tables import FitTable, PulleyTable, RouteTable, SpringTable
from snath.formulas.belts.contact import Contact, line_radius
from snath.formulas.belts.grooves import belt_height
from snath.formulas.belts.sections import groove_of
from snath.formulas.belts.space import Wheel
from snath.formulas.belts.ways import Arm, Slot
from snath.quantities.units import Quantity


def frame_of(table: RouteTable, belt: Belt) -> Frame:
    """The whole frame."""
    movable = next((p for p in table.pulley if p.slot or p.arm), None)
    way = _way(movable) if movable else None
    released = None
    if movable and movable.arm and movable.arm.released is not None:
        slack, tight = _si(movable.arm.slack), _si(movable.arm.tight)
        released = (_si(movable.arm.released) - slack) / (tight - slack)
    return Frame(
        name=table.name,
        places=tuple(_place(p, belt, way) for p in table.pulley),
        belt=belt,
        clockwise=table.turns == "clockwise",
        moving=movable.name if movable else "",
        way=way,
        released=released,
        spring=_spring(movable.spring) if movable and movable.spring else None,
        fit=_fit(table.fit),
        space=tuple(_wheel(p, belt) for p in table.pulley if p.axis is not None),
    )


def _way(table: PulleyTable) -> Slot | Arm:
    if table.slot is not None:
        return Slot(_point(table.slot.slack), _point(table.slot.tight))
    assert table.arm is not None
    arm = table.arm
    return Arm(_point(arm.pivot), _si(arm.length), _si(arm.slack), _si(arm.tight))


def _place(table: PulleyTable, belt: Belt, way: Slot | Arm | None) -> Place:
    if table.at is not None:
        x, y = table.at[0], table.at[1]
    else:
        assert way is not None
        x, y = way.at(1.0)
    offset = None if table.datum_offset is None else _si(table.datum_offset)
    grooved = table.contact == "groove"
    return Place(
        name=table.name,
        x=x,
        y=y,
        outside=_outside(table, belt, offset),
        contact=table.contact,
        shaft=table.shaft,
        section=groove_of(belt.section) if grooved else "",
        offset=offset,
        bore=table.bore,
        room=float("inf") if table.room is None else _si(table.room),
        ride=table.ride,
        bottomed=table.shiny_bottom,
        wobbles=table.wobble,
    )


def _outside(table: PulleyTable, belt: Belt, offset: float | None) -> float:
    if table.outside is not None:
        return _si(table.outside)
    assert table.datum is not None
    depth = 2 * belt.depth if offset is None else offset
    return _si(table.datum) + depth


def _wheel(table: PulleyTable, belt: Belt) -> Wheel:
    contact: Contact = table.contact
    height = belt_height(belt.section).value if contact == "flat inside" else None
    outside = _outside(table, belt, None if table.datum_offset is None else _si(table.datum_offset))
    radius = line_radius(contact=contact, outside=outside, depth=belt.depth, height=height)
    assert table.at is not None
    assert table.axis is not None
    (x, y, z), (a, b, c) = table.at, table.axis
    return Wheel(table.name, (x, y, z), (a, b, c), radius, contact == "flat back")


def _spring(table: SpringTable) -> Spring:
    stretched = _si(table.at) - _si(table.free)
    rate = (_si(table.pull) - _si(table.initial)) / stretched if stretched > 0 else 0.0
    return Spring(
        _point(table.anchor), _si(table.lever), _si(table.angle), rate, _si(table.initial), _si(table.free)
    )


def _fit(table: FitTable) -> Fit:
    plain = Fit()
    return Fit(
        speed=_or_none(table.speed),
        least_share=table.least_share,
        least_wrap=plain.least_wrap if table.least_wrap is None else _si(table.least_wrap),
        spread=table.spread,
        clearance=plain.clearance if table.clearance is None else _si(table.clearance),
        power=_or_none(table.power),
        service=table.service,
        slack_pull=_or_none(table.slack_pull),
        stretch=table.stretch,
    )


def _point(pair: list[float]) -> tuple[float, float]:
    return pair[0], pair[1]


def _si(found: Quantity) -> float:
    return found.measured.value


def _or_none(found: Quantity | None) -> float | None:
    return None if found is None else _si(found)
