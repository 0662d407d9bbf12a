"""A table of machines, row by row: each its sheet and last reading, or every fault of it at its cell."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from snath.decisions.machine.parts import CRANKSHAFT, Machine
from snath.decisions.machine.sheet import read_sheet
from snath.decisions.machine.sheet_text import Composed, toml_text
from snath.quantities.errors import InputError, InputErrors
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.quantities.toml_text import spoken
from snath.quantities.units import with_unit
from snath.shop.fleet.columns import (
    BESIDE,
    CELLS,
    COLUMNS,
    LENGTHS,
    SPEEDS,
    WHOLE,
    Place,
    column_of,
    place_of,
    unit_of,
)
from snath.shop.fleet.machine import FleetMachine, reading_of
from snath.shop.tables.cells import Cells, letter
from snath.shop.tables.harmless import as_it_was
from snath.shop.tables.headings import each_once

MOST_MACHINES = 20_000
BARE = re.compile(r"[0-9][0-9., ]*")
DAY = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})(?:[ T].*)?")
GERMAN_DAY = re.compile(r"([0-9]{1,2})\.([0-9]{1,2})\.([0-9]{4})")
SPINDLE = "spindle"


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


def columns_of(table: Cells) -> list[str]:
    """What each column holds, by its heading; empty for one that is not read."""
    return each_once(table, column_of)


def read_fleet(
    table: Cells,
    columns: Sequence[str] | None = None,
    *,
    name: str = "table",
    decimal_mark: DecimalMark = ".",
    length: str = "in",
) -> Fleet:
    """The machines of a table; nothing of a row with a fault is taken.

    Parameters
    ----------
    table : Cells
    columns : sequence of str or None
        What each column holds; None goes by the headings.
    name : str
        Of the file, for where a machine stands.
    decimal_mark : str
        How its numbers are written.
    length : str
        Unit of a bare length whose heading states none, "in" or "mm".

    Raises
    ------
    InputError
        Where the table as a whole cannot be read.
    """
    columns = list(columns_of(table) if columns is None else columns)
    if len(table.rows) > MOST_MACHINES:
        raise InputError("table", len(table.rows), Message("fleet.most-rows", most=MOST_MACHINES))
    if not {"machine", "number"} & set(columns):
        raise InputError("table", ", ".join(table.head), Message("fleet.headings-needed"))
    if not table.rows:
        raise InputError("table", name, Message("fleet.no-machine"))
    reader = _Reader(table, columns, name, decimal_mark, length)
    machines: list[FleetMachine] = []
    faults: list[CellFault] = []
    for line, row in zip(table.lines, table.rows, strict=True):
        try:
            machines.append(reader.machine(line, row))
        except InputErrors as found:
            faults += [reader.at_its_cell(line, fault) for fault in found.faults]
    head = (*table.head, *("" for _ in columns[len(table.head) :]))
    return Fleet(
        tuple(machines),
        tuple(faults),
        tuple(one for one, column in zip(head, columns, strict=False) if one and not column),
    )


class _Reader:
    """Reads the rows of one table."""

    def __init__(self, table: Cells, columns: list[str], name: str, mark: DecimalMark, length: str) -> None:
        self.table, self.columns, self.name, self.length = table, columns, name, length
        self.mark: DecimalMark = mark
        self.seen: dict[tuple[str, str], int] = {}
        self.units = [unit_of(head) for head in table.head]
        self.title = f"{name} {table.sheet}".strip()

    def machine(self, line: int, row: tuple[str, ...]) -> FleetMachine:
        """The machine of a row.

        Raises
        ------
        InputErrors
            With every fault, each under the name of its column.
        """
        cells = {
            column: as_it_was(row[at])
            for at, column in enumerate(self.columns)
            if column and at < len(row) and row[at]
        }
        formulas = [
            InputError(column, text, Message("fleet.formula"))
            for column, text in cells.items()
            if text.startswith("=")
        ]
        if formulas:
            raise InputErrors(tuple(formulas))
        cells = {column: self._plain(column, text) for column, text in cells.items()}
        composed = self._sheet(cells)
        faults: list[InputError] = []
        machine: Machine | None = None
        try:
            machine = read_sheet(composed.text)
        except InputErrors as found:
            faults += [_under_column(fault, composed) for fault in found.faults]
        kept, beside = self._beside(line, cells, composed.text)
        faults += beside
        if machine is not None and not beside:
            try:
                reading_of(machine, kept)
            except InputError as fault:
                faults.append(fault)
        if faults:
            raise InputErrors(tuple(dict.fromkeys(faults)))
        self._note(line, cells)
        return kept

    def at_its_cell(self, line: int, fault: InputError) -> CellFault:
        """The fault with the cell it stands in."""
        column, heading = "", ""
        if fault.field in self.columns:
            at = self.columns.index(fault.field)
            column, heading = letter(at), self.table.head[at] if at < len(self.table.head) else fault.field
        return CellFault(self.title, line, column, heading, fault)

    def _note(self, line: int, cells: Mapping[str, str]) -> None:
        """Refuse a machine that stands in the table already, by its number, else by name and serial."""
        number, serial = cells.get("number", ""), cells.get("serial", "")
        key = ("number", number) if number else (cells.get("machine", ""), serial) if serial else None
        if key is None:
            return
        if key in self.seen:
            column = "number" if number else "serial"
            raise InputErrors(
                (InputError(column, number or serial, Message("fleet.twice", line=self.seen[key])),)
            )
        self.seen[key] = line

    def _plain(self, column: str, text: str) -> str:
        """A cell with the core's word for it, and a bare number with its unit."""
        word = CELLS.get(column, {}).get(" ".join(text.split()).lower())
        if word is not None:
            return word
        at = self.columns.index(column)
        unit = self.units[at] if at < len(self.units) else ""
        place = place_of(column)
        key = column if place is None else next(step for step in reversed(place) if isinstance(step, str))
        if key in LENGTHS:
            return with_unit(text, unit or self.length, dimension="length", decimal_mark=self.mark)
        if key in SPEEDS or column in ("reading", "u"):
            return f"{text} {unit or 'rpm'}" if BARE.fullmatch(text) else text
        return text

    def _sheet(self, cells: Mapping[str, str]) -> Composed:
        """The machine sheet of a row, and which column each of its places was filled from."""
        data: dict[Any, Any] = {"sheet": 1, "decimal_mark": self.mark, "engine": {}}
        filled = {"machine": cells.get("number", ""), **cells}
        found = {column: place for column in filled if (place := place_of(column)) and filled[column]}
        places: dict[str, str] = {}
        for column, place in found.items():
            place = _without_gaps(place, found.values())
            places[spoken(place)] = column if column in cells else "number"
            table = data
            for step in place[:-1]:
                table = table.setdefault(step, {})
                if not isinstance(table, dict):  # one column fills the whole table another fills a place of
                    raise InputErrors(
                        (InputError(column, filled[column], Message("fleet.heading-unknown", known=COLUMNS)),)
                    )
            table[place[-1]] = _value(place[-1], filled[column])
        for rows in ("coupling", "member"):
            data[rows] = [row for _, row in sorted(data.get(rows, {}).items())]
        for row in data["coupling"]:
            row.setdefault("driven", SPINDLE)
        shaft = data["coupling"][0]["driven"] if data["coupling"] else CRANKSHAFT
        for at, row in enumerate(data["member"]):
            kind = next((key for key in row if key not in ("name", "shaft")), "part")
            row.setdefault("name", kind.replace("_", " ") + (f" {at + 1}" if at else ""))
            row.setdefault("shaft", shaft)
        return Composed(toml_text(data), places)

    def _beside(
        self, line: int, cells: Mapping[str, str], sheet: str
    ) -> tuple[FleetMachine, list[InputError]]:
        """What is kept of a machine beside its sheet, and what is wrong with it."""
        faults: list[InputError] = []
        kept: dict[str, Any] = {column: cells.get(column, "") for column in BESIDE}
        for column in ("read_on", "due_on"):
            try:
                kept[column] = day_of(kept[column], column) if kept[column] else ""
            except InputError as fault:
                faults.append(fault)
                kept[column] = ""
        every = kept["every"]
        if every and not (
            every.isascii() and every.isdecimal() and len(every) < 4 and 1 <= int(every) <= 120
        ):
            faults.append(InputError("every", every, Message("fleet.months")))
            every = ""
        kept["every"] = int(every or 0)
        machine = FleetMachine(f"{self.title} row {line}", sheet, mark=self.mark)
        return replace(machine, **kept), faults


def _without_gaps(place: Place, others: Iterable[Place]) -> Place:
    """The place with its number in a list as it is once the numbers nobody filled are closed up."""
    if len(place) < 2 or not isinstance(place[1], int):
        return place
    used = sorted({one[1] for one in others if one[0] == place[0] and isinstance(one[1], int)})
    return (place[0], used.index(place[1]), *place[2:])


def day_of(text: str, field: str) -> str:
    """A day as ISO writes it.

    Raises
    ------
    InputError
        Where it is none, or written in an order that could be read two ways.
    """
    if match := DAY.fullmatch(text.strip()):
        year, month, day = match.groups()
    elif match := GERMAN_DAY.fullmatch(text.strip()):
        day, month, year = match.groups()
    else:
        raise InputError(field, text, Message("fleet.date"))
    try:
        return date(int(year), int(month), int(day)).isoformat()
    except ValueError:
        raise InputError(field, text, Message("fleet.date")) from None


def _value(key: str | int, text: str) -> Any:
    """What stands on the sheet: whole numbers bare where the sheet has them so, several values parted by semicolons."""
    if key in WHOLE and text.isascii() and text.isdecimal() and len(text) < 9:
        return int(text)
    if key in ("arms", "firing_angles"):
        return [part.strip() for part in text.split(";") if part.strip()]
    if key in ("inverter", "direct"):
        return text.lower() in ("yes", "true", "ja")
    return text


def _under_column(fault: InputError, sheet: Composed) -> InputError:
    """A fault of the sheet under the column that filled its place; a missing place under the column that would."""
    column = sheet.box_of(fault.field)
    below = (f"{fault.field}.", f"{fault.field}[")
    filling = ((name, spoken(place)) for name in COLUMNS if (place := place_of(name)))
    known = next((name for name, path in filling if path == fault.field or path.startswith(below)), "")
    return InputError(column or known or fault.field, fault.given, _without_line(fault.allowed))


def _without_line(allowed: Message | str) -> Message | str:
    """What would do without the line of a sheet nobody has seen."""
    if isinstance(allowed, Message) and allowed.code == "fault.at-line":
        inner = allowed.values["fault"]
        return inner if isinstance(inner, Message | str) else allowed
    return allowed
