"""From the text of a route file to the frame it describes, or to every fault in it at once."""

from pydantic import ValidationError

from snath.decisions.drive.belt import SPECIAL_TOLERANCE, Belt, belt_by_name
from snath.decisions.drive.frame import Fit, Frame, Place, Spring
from snath.decisions.drive.frame_tables import BeltTable, FitTable, PulleyTable, RouteTable, SpringTable
from snath.decisions.machine.parts import CRANKSHAFT
from snath.decisions.machine.sheet_faults import faults_of_shape
from snath.formulas.belts.contact import Contact, line_radius
from snath.formulas.belts.grooves import belt_height
from snath.formulas.belts.sections import groove_of
from snath.formulas.belts.space import Wheel
from snath.formulas.belts.ways import Arm, Slot
from snath.quantities.errors import InputError
from snath.quantities.numbers import DecimalMark
from snath.quantities.toml_text import Fault, Path, TomlText, read_toml
from snath.quantities.units import Quantity


def read_frame(text: str, *, decimal_mark: DecimalMark = ".") -> Frame:
    """The frame a route file describes.

    Parameters
    ----------
    text : str
        TOML, see docs/belts.md.
    decimal_mark : str
        How numbers inside quotation marks are written, unless the file says so itself.

    Raises
    ------
    InputErrors
        With every fault: the key, what was given, what would do, and its line.
    """
    toml = read_toml(text, field="route")
    mark = toml.data.get("decimal_mark", decimal_mark)
    try:
        table = RouteTable.model_validate(toml.data, context={"decimal_mark": mark if mark == "," else "."})
    except ValidationError as error:
        raise toml.errors(faults_of_shape(error, RouteTable)) from None
    belt = _belt(toml, table.belt)
    faults = list(_faults(table))
    if faults:
        raise toml.errors(faults)
    return _frame(table, belt)


def _belt(toml: TomlText, table: BeltTable) -> Belt:
    try:
        if table.outside_length is None:
            return belt_by_name(table.name, part=table.part, aramid=table.aramid)
        groove_of(table.section)
    except InputError as fault:
        key = "name" if table.outside_length is None else "section"
        raise toml.errors([Fault(("belt", key), fault.given, fault.allowed)]) from None
    off = SPECIAL_TOLERANCE if table.tolerance is None else _si(table.tolerance)
    along = _si(table.outside_length)
    return Belt(table.name, table.section, along, off, "outside", table.part, table.aramid)


def _faults(table: RouteTable) -> list[Fault]:
    faults: list[Fault] = []
    moving = [i for i, p in enumerate(table.pulley) if p.slot or p.arm]
    for i in moving[1:]:
        faults.append(Fault(("pulley", i), table.pulley[i].name, "only one pulley can be movable"))
    if table.pulley[0].shaft != CRANKSHAFT:
        say = f'the first pulley is the engine\'s: give it shaft = "{CRANKSHAFT}"'
        faults.append(Fault(("pulley", 0, "shaft"), table.pulley[0].shaft or "nothing", say))
    shafts = [p.shaft for p in table.pulley if p.shaft]
    for i, p in enumerate(table.pulley):
        path: Path = ("pulley", i, "shaft")
        if p.shaft and shafts.count(p.shaft) > 1:
            faults.append(Fault(path, p.shaft, "stands at two pulleys of one belt"))
        if (p.at is not None and len(p.at) == 3) != (p.axis is not None):
            faults.append(
                Fault(
                    ("pulley", i, "axis"), p.axis or "nothing", "give at with three figures and axis together"
                )
            )
    spatial = [p.axis is not None for p in table.pulley]
    if any(spatial) and not all(spatial):
        i = spatial.index(False)
        faults.append(
            Fault(("pulley", i, "axis"), "nothing", "needed on every pulley once one stands out of the plane")
        )
    return faults


def _frame(table: RouteTable, belt: Belt) -> Frame:
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
