"""Hold the machines of a table, and what is wrong with the others at their cells."""

from dataclasses import dataclass

from snath.quantities.errors import InputError
from snath.quantities.message import Message, Value
from snath.shop.fleet.columns import CELLS, name_of
from snath.shop.fleet.machine import FleetMachine
from snath.shop.tables.typed import typed
from snath.words.render import Locale, named

LISTS = ("fault.one-of", "fault.one-of-nearest", "fleet.instrument-kind", "verdict.read-condition")


@dataclass(frozen=True, slots=True)
class CellFault:
    """What is wrong in one cell, or in a row where no cell of it is to blame.

    Attributes
    ----------
    sheet : str
        Of the spreadsheet; empty for text.
    line : int
        From 1, as a spreadsheet counts.
    column : str
        Its letter; empty for the row as a whole.
    heading : str
        What stands above it.
    fault : InputError
        The field, what was given and what would do.
    """

    sheet: str
    line: int
    column: str
    heading: str
    fault: InputError

    def message(self, reader: Locale) -> Message:
        """The fault with its place, in the words that a table in its reader's language has."""
        place: dict[str, Value] = {"sheet": self.sheet, "line": self.line}
        said: dict[str, Value] = {"given": self.fault.given, "fault": in_words(self.fault, reader).allowed}
        if not self.column:
            return Message("fleet.row", **place, field=name_of(self.fault.field, reader.language), **said)
        return Message("fleet.cell", **place, column=self.column, heading=self.heading, **said)


@dataclass(frozen=True, slots=True)
class Fleet:
    """The machines in their order, every fault of the others, headings nobody reads, and files that are no sheets."""

    machines: tuple[FleetMachine, ...]
    faults: tuple[CellFault, ...] = ()
    not_read: tuple[str, ...] = ()
    skipped: tuple[str, ...] = ()


def in_words(fault: InputError, reader: Locale) -> InputError:
    """A fault of a cell, with the words it may hold as its reader types them."""
    allowed, column = fault.allowed, fault.field
    if not isinstance(allowed, Message) or column not in CELLS:
        return fault
    known = allowed.values.get("known")
    if not isinstance(known, tuple) or allowed.code not in LISTS:
        return fault
    words = tuple(_typed(str(word), column, reader) for word in known)
    if nearest := allowed.values.get("nearest"):
        near = _typed(str(nearest), column, reader)
        return InputError(column, fault.given, Message("fault.one-of-nearest", known=words, nearest=near))
    return InputError(column, fault.given, Message("fault.one-of", known=words))


def _typed(core: str, column: str, reader: Locale) -> str:
    """What to type for a word of the core; in quotes where it has a comma of its own."""
    word = named(core, reader)
    if CELLS[column].get(word.lower()) != core:
        words = {one: word for word, one in reversed(typed(f"cell.{column}", reader.language).items())}
        word = words.get(core, core)
    return f"„{word}“" if "," in word else word
