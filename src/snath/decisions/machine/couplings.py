"""Build a coupling from what a shop can measure on it; all kinds end as a few ratios."""

import math

from snath.decisions.machine.parts import BY_TEETH, Coupling, CouplingKind, Part, Ratio
from snath.formulas.belts.sections import groove_offset
from snath.quantities.errors import InputError, within
from snath.quantities.measured import Line, Measured, combine, exact, quotient
from snath.quantities.message import Amount, Message

BY_OUTSIDE = "by outside diameter"
BY_DATUM = "by datum diameter"
COUNTED = "as counted"
TWO_READINGS = "by two readings"
LEAST, MOST = "at its least", "at its most"


def direct_coupling(driver: str, driven: str, *, sense: int = 1, source: str = "") -> Coupling:
    """Two shafts that are one."""
    return Coupling(driver, driven, (Ratio("direct", exact(1.0)),), sense, 0.0, source, (), "direct")


def sheave(
    role: str,
    *,
    section: str,
    outside: Measured | None = None,
    datum: Measured | None = None,
    offset: float | None = None,
    maker_part: str = "",
    pulley: str = "",
    sunk: tuple[Measured, ...] = (),
) -> Part:
    """A sheave by its outside diameter, or by the datum diameter stamped on it.

    Parameters
    ----------
    role : str
        "driver sheave" or "driven sheave".
    section : str
        Belt section of its groove.
    outside, datum : Measured or None
        Exactly one of them. [m]
    offset : float or None
        Outside less datum diameter from the sheave maker's page; None takes the section table's. [m]
    maker_part : str
        The machine maker's number for it.
    pulley : str
        The shop's name for it, where several belts run on it.
    sunk : tuple of Measured
        As in `Part`. [m]

    Raises
    ------
    InputError
        When neither or both diameters are given, no page gives the section's offset, or the sheave is no
        larger than that offset.
    """
    if (outside is None) == (datum is None):
        raise InputError(role, "both" if outside else "nothing", Message("sheet.outside-or-datum"))
    depth = groove_offset(section) if offset is None else offset
    if outside is None:
        assert datum is not None
        outside = combine(datum.value + depth, [(datum, 1.0)])
    within(role, outside.value, depth * 1.5, 2, "m", open_low=True)
    return Part(role, outside, depth, section, maker_part, pulley, sunk)


def belt_coupling(
    driver: str,
    driven: str,
    *,
    driver_sheave: Part,
    driven_sheave: Part,
    sense: int = 1,
    slip_max: float | None = None,
    source: str = "",
) -> Coupling:
    """A V-belt over two sheaves, seen in a few ways.

    Its ratio is that of the outside or of the datum diameters, the same convention on both sheaves; and where a
    belt may ride at several depths, each groove by itself, the two ways farthest apart stand beside the first.
    """
    driver_depths, driven_depths = (_depths(part) for part in (driver_sheave, driven_sheave))
    rides = dict.fromkeys(
        [
            (driver_depths[0], driven_depths[0]),
            (_shallowest(driver_depths), _deepest(driven_depths)),
            (_deepest(driver_depths), _shallowest(driven_depths)),
        ]
    )
    ratios = tuple(
        _of_circles(
            _name(name, (driver_sheave, above), (driven_sheave, below)),
            _ridden(circle(driver_sheave), above, driver_sheave),
            _ridden(circle(driven_sheave), below, driven_sheave),
        )
        for name, circle in ((BY_OUTSIDE, _outside), (BY_DATUM, datum_diameter))
        for above, below in rides
    )
    return Coupling(driver, driven, ratios, sense, slip_max, source, (driver_sheave, driven_sheave), "belt")


def _of_circles(name: Message | str, driver: Measured, driven: Measured) -> Ratio:
    return Ratio(name, quotient(driver, driven), (driver.value, driven.value))


FLUSH = exact(0.0)


def _depths(part: Part) -> tuple[Measured, ...]:
    return part.sunk or (FLUSH,)


def _shallowest(depths: tuple[Measured, ...]) -> Measured:
    return min(depths, key=lambda depth: depth.value)


def _deepest(depths: tuple[Measured, ...]) -> Measured:
    return max(depths, key=lambda depth: depth.value)


def _ridden(circle: Measured, depth: Measured, part: Part) -> Measured:
    """The circle a belt runs on that lies so deep under the rim. [m]"""
    diameter = circle.value - 2 * depth.value
    within(part.role, diameter, 0, 5, "m", open_low=True)
    return combine(diameter, [(circle, 1.0), (depth, -2.0)])


def _name(name: str, *rides: tuple[Part, Measured]) -> Message | str:
    """What a way to see the belt is called; where a groove has several depths, with which of them this is."""
    seen = tuple(_ride(part, depth.value) for part, depth in rides if len(part.sunk) > 1 and depth.value)
    return Message("machine.ridden", name=name, rides=seen) if seen else name


def _ride(part: Part, depth: float) -> Message:
    if depth > 0:
        return Message("machine.belt-sunk", depth=Amount(depth, "length"), part=part.role)
    return Message("machine.belt-above", depth=Amount(-depth, "length"), part=part.role)


def _outside(part: Part) -> Measured:
    return part.size


def datum_diameter(part: Part) -> Measured:
    """Datum diameter of a sheave. [m]"""
    depth = part.datum_offset or 0.0
    within(part.role, part.size.value, depth, 5, "m", open_low=True)
    return combine(part.size.value - depth, [(part.size, 1.0)])


def toothed_coupling(
    driver: str,
    driven: str,
    *,
    driver_teeth: int,
    driven_teeth: int,
    kind: CouplingKind,
    sense: int,
    source: str = "",
    maker_parts: tuple[str, str] = ("", ""),
) -> Coupling:
    """Gears or a chain: the ratio is that of the teeth, exactly."""
    word = "gear" if kind == "gear" else "sprocket"
    parts = tuple(
        Part(f"{end} {word}", exact(float(teeth)), maker_part=number)
        for end, teeth, number in zip(
            ("driver", "driven"), (driver_teeth, driven_teeth), maker_parts, strict=True
        )
    )
    ratio = Ratio(BY_TEETH, exact(driver_teeth / driven_teeth), (float(driver_teeth), float(driven_teeth)))
    return Coupling(driver, driven, (ratio,), sense, 0.0, source, parts, kind)


def counted_ratio(*, turns_in: float, turns_out: float, resolution: float, field: str) -> Measured:
    """Ratio counted by hand: driver turned by whole turns to its mark, driven read to ± `resolution`.

    Parameters
    ----------
    turns_in, turns_out : float
        Turns of driver and driven. [rev]
    resolution : float
        Half width of the reading of the driven shaft. [rev]
    field : str
        Names the source of the uncertainty.
    """
    u = resolution / turns_in / math.sqrt(3)
    source = Message("budget.as-counted", field=field)
    lines = (Line(source, u, None, "rectangular"),) if u > 0 else ()
    return Measured(turns_out / turns_in, lines)


def measured_coupling(
    driver: str,
    driven: str,
    *,
    ratio: Measured,
    kind: CouplingKind,
    sense: int = 1,
    slip_max: float | None = None,
    source: str = "",
) -> Coupling:
    """A coupling whose ratio was counted by hand or read at both ends at once."""
    name = COUNTED if kind == "counted" else TWO_READINGS
    return Coupling(driver, driven, (Ratio(name, ratio),), sense, slip_max, source, (), kind)


def variable_coupling(
    driver: str,
    driven: str,
    *,
    least: float,
    most: float,
    sense: int = 1,
    slip_max: float | None = None,
    source: str = "",
) -> Coupling:
    """A drive whose ratio can be set anywhere between two ends; both ends must hold."""
    ratios = (Ratio(LEAST, exact(least)), Ratio(MOST, exact(most)))
    return Coupling(driver, driven, ratios, sense, slip_max, source, (), "variable")
