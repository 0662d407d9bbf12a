"""Describe a belt: how long along which line, and how far a new one may be off."""

from dataclasses import dataclass

from snath.formulas.belts.lengths import (
    BeltName,
    Line,
    length,
    line_depth,
    measured_line,
    read_name,
    tolerance,
)
from snath.quantities.errors import InputError

SPECIAL_TOLERANCE = 0.010  # m; plus or minus on a belt whose page gives none: common practice, no source


@dataclass(frozen=True, slots=True)
class Belt:
    """A belt, by designation or by its measured length.

    Attributes
    ----------
    name : str
        As printed on it.
    section : str
        Of its cross-section.
    length, tolerance : float
        Along `line`, and how far a new one may be off. [m]
    line : str
        "datum" or "outside".
    part : str
        The machine maker's number, where it is that belt.
    aramid : bool
        A special clutching belt: no published rating holds for it.
    price : float or None
    """

    name: str
    section: str
    length: float
    tolerance: float
    line: Line
    part: str = ""
    aramid: bool = False
    price: float | None = None

    @property
    def depth(self) -> float:
        """Of its length's line below its top. [m]"""
        return line_depth(self.section) if self.line == "datum" else 0.0


def belt_by_name(text: str, *, part: str = "", aramid: bool = False, price: float | None = None) -> Belt:
    """A belt of standard designation, such as A42 or 4L460.

    Raises
    ------
    InputError
        If it is none; a maker's own belt needs its section and length.
    """
    name = read_name(text)
    line = measured_line(name.section)
    along = length(name, line).value
    return Belt(text.strip(), name.section, along, _tolerance(name), line, part, aramid, price)


def _tolerance(name: BeltName) -> float:
    try:
        return tolerance(name).value
    except InputError:
        return SPECIAL_TOLERANCE
