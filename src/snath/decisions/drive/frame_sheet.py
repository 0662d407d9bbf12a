"""Read a route file: the frame it describes, or every fault in it at once."""

from collections.abc import Iterator

from snath.decisions.drive.belt import SPECIAL_TOLERANCE, Belt, belt_by_name
from snath.decisions.drive.frame import Frame
from snath.decisions.drive.frame_build import frame_of
from snath.decisions.drive.frame_tables import BeltTable, PulleyTable, RouteTable
from snath.decisions.machine.parts import CRANKSHAFT
from snath.decisions.machine.sheet_validation import validate
from snath.formulas.belts.sections import groove_of
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.quantities.toml_text import Fault, TomlText, read_toml


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
    table = validate(toml, RouteTable, decimal_mark=decimal_mark)
    belt = _belt(toml, table.belt)
    if faults := [*_movable(table.pulley), *_shafts(table.pulley), *_axes(table.pulley)]:
        raise toml.errors(faults)
    return frame_of(table, belt)


def _belt(toml: TomlText, table: BeltTable) -> Belt:
    try:
        if table.outside_length is None:
            return belt_by_name(table.name, part=table.part, aramid=table.aramid)
        groove_of(table.section)
    except InputError as fault:
        key = "name" if table.outside_length is None else "section"
        raise toml.errors([Fault(("belt", key), fault.given, fault.allowed)]) from None
    off = SPECIAL_TOLERANCE if table.tolerance is None else table.tolerance.measured.value
    along = table.outside_length.measured.value
    return Belt(table.name, table.section, along, off, "outside", table.part, table.aramid)


def _movable(rows: list[PulleyTable]) -> Iterator[Fault]:
    """A belt is tightened at one place."""
    moving = [i for i, p in enumerate(rows) if p.slot or p.arm]
    for i in moving[1:]:
        yield Fault(("pulley", i), rows[i].name, Message("drive.one-movable"))


def _shafts(rows: list[PulleyTable]) -> Iterator[Fault]:
    """The engine comes first, and a shaft has one pulley of this belt."""
    if rows[0].shaft != CRANKSHAFT:
        say = Message("drive.engine-first")
        yield Fault(("pulley", 0, "shaft"), rows[0].shaft or "nothing", say)
    shafts = [p.shaft for p in rows if p.shaft]
    for i, p in enumerate(rows):
        if p.shaft and shafts.count(p.shaft) > 1:
            yield Fault(("pulley", i, "shaft"), p.shaft, Message("drive.shaft-twice"))


def _axes(rows: list[PulleyTable]) -> Iterator[Fault]:
    """In space every pulley has three figures and an axis; in a plane none has."""
    for i, p in enumerate(rows):
        if (p.at is not None and len(p.at) == 3) != (p.axis is not None):
            say = Message("drive.at-and-axis")
            yield Fault(("pulley", i, "axis"), p.axis or "nothing", say)
    spatial = [p.axis is not None for p in rows]
    if any(spatial) and not all(spatial):
        say = Message("drive.axis-everywhere")
        yield Fault(("pulley", spatial.index(False), "axis"), "nothing", say)
