"""Hold the machines of a table, and what is wrong with the others at their cells."""

from dataclasses import dataclass

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.fleet.machine import FleetMachine


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

    @property
    def message(self) -> Message:
        """The fault with its place, as it is told."""
        field, given, allowed = self.fault.field, self.fault.given, self.fault.allowed
        if not self.column:
            return Message(
                "fleet.row", sheet=self.sheet, line=self.line, field=field, given=given, fault=allowed
            )
        return Message(
            "fleet.cell",
            sheet=self.sheet,
            line=self.line,
            column=self.column,
            heading=self.heading,
            field=field,
            given=given,
            fault=allowed,
        )


@dataclass(frozen=True, slots=True)
class Fleet:
    """The machines in their order, every fault of the others, headings nobody reads, and files that are no sheets."""

    machines: tuple[FleetMachine, ...]
    faults: tuple[CellFault, ...] = ()
    not_read: tuple[str, ...] = ()
    skipped: tuple[str, ...] = ()
