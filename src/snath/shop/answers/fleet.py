"""Answer what a whole fleet says: a row a machine, how many stand out, what moved, and every fault of a table."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any, Literal

from snath.quantities.message import Message
from snath.shop.answers.facts import Fact, facts, fault_data
from snath.shop.fleet.faults import CellFault, Fleet, in_words
from snath.shop.fleet.moved import gone
from snath.shop.fleet.run import counted
from snath.shop.fleet.worked import Row
from snath.words.render import Locale


@dataclass(frozen=True)
class FleetRow:
    """One machine of a fleet; speeds at the crankshaft, words on the speed alone.

    Attributes
    ----------
    place : str
        Where it stands: file, sheet and row.
    number, machine, serial, kind, customer : str
        What it is called, and whose it is.
    shut : bool or None
        Whether no engine speed will do; None where it could not be worked.
    ceiling_rpm, floor_rpm : int or None
        Between which it may run, rounded inwards. [rpm]
    set_from_rpm, set_to_rpm : int or None
        Between which it is to be set. [rpm]
    binding, rule : str
        The part that limits it, and by which row of the book.
    reading_rpm, u_rpm : float or None
        Its last reading and the standard uncertainty of that. [rpm]
    over : bool or None
        Whether it was read over its limit beyond doubt.
    speed_alone, why : str
        What that reading says of the speed, and why.
    read_on, due_on : str
        Days (ISO 8601), empty where there is none; no day to be read by is at once.
    due : bool
        Whether it is to be read again by now.
    error : str or None
        Why it could not be worked.
    """

    place: str
    number: str
    machine: str
    serial: str
    kind: str
    customer: str
    shut: bool | None
    ceiling_rpm: int | None
    floor_rpm: int | None
    set_from_rpm: int | None
    set_to_rpm: int | None
    binding: str
    rule: str
    reading_rpm: float | None
    u_rpm: float | None
    over: bool | None
    speed_alone: Literal["", "pass", "fail", "undecided"]
    why: str
    read_on: str
    due_on: str
    due: bool
    error: str | None


@dataclass(frozen=True)
class MovedRow(FleetRow):
    """One machine of a fleet beside an earlier table.

    Attributes
    ----------
    moved : str
        What moved, parted by commas: lower, higher, shut, opened, word, or new; empty where nothing did.
    ceiling_before_rpm : float or None
        Its ceiling in the earlier table. [rpm]
    word_before : str
        What its reading said then.
    shut_before : bool or None
        Whether it was shut then.
    """

    moved: str
    ceiling_before_rpm: float | None
    word_before: str
    shut_before: bool | None


@dataclass(frozen=True)
class MovedAnswer:
    """How many machines moved since an earlier table.

    Attributes
    ----------
    lower, higher : int
        Whose ceiling is lower or higher.
    shut, opened : int
        Which no speed will do for any more, and which one will do for again.
    word : int
        Of whose reading another word is said.
    new, gone : int
        Which were not in the earlier table, and which are not in this one.
    """

    lower: int
    higher: int
    shut: int
    opened: int
    word: int
    new: int
    gone: int


@dataclass(frozen=True)
class CellFaultAnswer:
    """What is wrong in one cell of a table, or in a row where no cell of it is to blame.

    Attributes
    ----------
    sheet : str
        Of a spreadsheet; the file where it has none.
    row : int
        From 1, as a spreadsheet counts.
    column, heading : str or None
        Its letter, and what stands above it; None for the row as a whole.
    field, given, allowed : str
        What it is for, what was given, and what would do.
    code, values : str, mapping
        What would do, for a program; figures in SI.
    """

    sheet: str
    row: int
    column: str | None
    heading: str | None
    field: str
    given: str
    allowed: str
    code: str
    values: Mapping[str, Any]


@dataclass(frozen=True)
class FleetAnswer:
    """What a whole fleet says; every word is on the speed alone.

    Attributes
    ----------
    machines, shut, over, due, not_worked : int
        How many there are, and how many of them are shut, were read over their limit, are due, or could not be worked.
    faults : tuple of CellFaultAnswer
        What is wrong with machines that were left out.
    not_read, skipped : tuple of str
        Headings nobody reads, and files that are no machine sheets.
    notes : tuple of Fact
        What else has to be known.
    out : str or None
        Where the rows were written.
    rows : tuple of FleetRow or None
        A row a machine, in their order; None where they were written.
    moved : MovedAnswer or None
        Beside an earlier table; None where there is none.
    """

    machines: int
    shut: int
    over: int
    due: int
    not_worked: int
    faults: tuple[CellFaultAnswer, ...]
    not_read: tuple[str, ...]
    skipped: tuple[str, ...]
    notes: tuple[Fact, ...]
    out: str | None
    rows: tuple[MovedRow | FleetRow, ...] | None
    moved: MovedAnswer | None


def fleet_answer(
    read: Fleet,
    rows: Sequence[Row],
    locale: Locale,
    *,
    out: str | None = None,
    earlier: Sequence[Mapping[str, Any]] | None = None,
) -> FleetAnswer:
    """What a fleet says, as JSON has it.

    Parameters
    ----------
    read : Fleet
        Its machines as they were read.
    rows : sequence of Row
        As they were worked; with what moved where there is an earlier table.
    locale : Locale
        Of who reads it.
    out : str or None
        Where the rows were written; they are left out then.
    earlier : sequence of mapping or None
        The rows of an earlier table.
    """
    kind = FleetRow if earlier is None else MovedRow
    return FleetAnswer(
        **asdict(counted(rows)),
        faults=tuple(_fault(one, locale) for one in read.faults),
        not_read=read.not_read,
        skipped=read.skipped,
        notes=facts([Message("fleet.alone")], locale),
        out=out,
        rows=tuple(kind(**row) for row in rows) if out is None else None,
        moved=None if earlier is None else _moved(rows, earlier),
    )


def _moved(rows: Sequence[Row], earlier: Sequence[Mapping[str, Any]]) -> MovedAnswer:
    words = [word for row in rows for word in row["moved"].split(", ") if word]
    kinds = ("lower", "higher", "shut", "opened", "word", "new")
    return MovedAnswer(**{kind: words.count(kind) for kind in kinds}, gone=len(gone(rows, earlier)))


def _fault(found: CellFault, locale: Locale) -> CellFaultAnswer:
    told = {"code": "", "values": {}, **fault_data(in_words(found.fault, locale), locale)}
    return CellFaultAnswer(
        sheet=found.sheet,
        row=found.line,
        column=found.column or None,
        heading=found.heading or None,
        **told,
    )
