"""Find the ends of a sheet's belts that sit on one pulley, and where that pulley is measured.

A pulley that several belts run on is one piece of iron, measured once. The sheet says so by its name, in
`driver_pulley` or `driven_pulley` of each of those belts; equal figures alone never make two pulleys one.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from snath.decisions.machine.sheet_couplings import COMBINATION, ENDS, CouplingTable
from snath.formulas.belts.sections import groove_of
from snath.quantities.measured import Measured
from snath.quantities.message import Message
from snath.quantities.toml_text import Fault, Path, spoken
from snath.quantities.units import Quantity


@dataclass(frozen=True, slots=True)
class BeltEnd:
    """One end of a belt as the sheet has it.

    Attributes
    ----------
    place : int
        Of its coupling on the sheet.
    end : str
        "driver" or "driven".
    shaft : str
        That the pulley sits on.
    section : str
        Of the belt.
    offset : Measured or None
        Outside less datum diameter, where the sheet gives it. [m]
    pulley : str
        Name of the pulley; empty where it is nobody else's.
    outside, datum : Quantity or None
        Its diameter, where it is given here. [m]
    part : str
        The machine maker's number for it, where it is given here.
    rides : str
        "flush", "sunk", "above" or "not looked".
    by : Quantity or None
        How far sunk or above, along the radius. [m]
    combination : bool
        Whether its groove takes A and B belts.
    page : str
        The maker's page its figures are from; empty where they were measured.
    """

    place: int
    end: str
    shaft: str
    section: str
    offset: Measured | None
    pulley: str
    outside: Quantity | None
    datum: Quantity | None
    part: str
    rides: str
    by: Quantity | None
    combination: bool
    page: str

    @property
    def diameter(self) -> Quantity | None:
        """As it is given here, by whichever of its two circles."""
        return self.outside or self.datum

    def key(self, what: str) -> Path:
        """Path of "outside", "datum" or "pulley" of this end."""
        return ("coupling", self.place, "belt", f"{self.end}_{what}")


def belt_ends(rows: Sequence[CouplingTable]) -> tuple[BeltEnd, ...]:
    """Both ends of every belt on the sheet."""
    return tuple(
        BeltEnd(
            place,
            end,
            shaft=getattr(row, end),
            section=row.belt.section,
            offset=None if row.belt.datum_offset is None else row.belt.datum_offset.measured,
            pulley=getattr(row.belt, f"{end}_pulley"),
            outside=getattr(row.belt, f"{end}_outside"),
            datum=getattr(row.belt, f"{end}_datum"),
            part=getattr(row.belt, f"{end}_part"),
            rides=getattr(row.belt, f"{end}_rides"),
            by=getattr(row.belt, f"{end}_by"),
            combination=getattr(row.belt, f"{end}_groove") == COMBINATION,
            page=row.belt.sizes_from,
        )
        for place, row in enumerate(rows)
        if row.belt is not None
        for end in ENDS
    )


def measured_at(end: BeltEnd, ends: Sequence[BeltEnd]) -> BeltEnd:
    """The end at which this one's pulley is measured: the first of its name with a diameter, else this one."""
    return next((other for other in _alike(end, ends) if other.diameter is not None), end)


def part_number(end: BeltEnd, ends: Sequence[BeltEnd]) -> str:
    """The maker's number for the pulley at this end, given here or at another belt on it."""
    return end.part or next((other.part for other in _alike(end, ends) if other.part), "")


def faults_of_pulleys(ends: Sequence[BeltEnd]) -> Iterator[Fault]:
    """What cannot be said of one piece of iron."""
    for end in ends:
        first, at = _alike(end, ends)[0], measured_at(end, ends)
        if at.diameter is None:
            if end is first:
                yield Fault(end.key("outside"), "nothing", Message("sheet.pulley-size", pulley=end.pulley))
        elif end.shaft != first.shaft:
            say = Message("sheet.pulley-elsewhere", shaft=first.shaft, place=_where(first))
            yield Fault(end.key("pulley"), end.pulley, say)
        elif _groove(end) != _groove(first):
            say = Message("sheet.other-groove", place=_where(first))
            yield Fault(end.key("pulley"), end.pulley, say)
        elif end.diameter is not None and _circle(end) != _circle(at):
            say = Message("sheet.other-size", size=at.diameter.text, place=_where(at))
            yield Fault(end.key("pulley"), end.pulley, say)


def _alike(end: BeltEnd, ends: Sequence[BeltEnd]) -> list[BeltEnd]:
    """Every end on the pulley of this one, in the sheet's order."""
    return [other for other in ends if other.pulley == end.pulley] if end.pulley else [end]


def _where(end: BeltEnd) -> str:
    return spoken(("coupling", end.place))


def _groove(end: BeltEnd) -> tuple[str, float | None]:
    return groove_of(end.section), None if end.offset is None else end.offset.value


def _circle(end: BeltEnd) -> tuple[bool, Measured | None]:
    """Which circle was measured, and how large it is with its doubt, however it was written."""
    return end.outside is not None, None if end.diameter is None else end.diameter.measured
