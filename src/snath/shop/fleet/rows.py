"""Read a table of machines row by row: each its sheet and last reading, or every fault of it at its cell."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from snath.decisions.machine.parts import Machine
from snath.decisions.machine.sheet import read_sheet
from snath.quantities.errors import InputError, InputErrors
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.quantities.units import with_unit
from snath.shop.fleet.columns import BESIDE, CELLS, LENGTHS, column_of, is_figure, key_of, unit_of
from snath.shop.fleet.composed import composed, under_column
from snath.shop.fleet.days import day_of
from snath.shop.fleet.faults import CellFault, Fleet
from snath.shop.fleet.machine import FleetMachine, reading_of
from snath.shop.tables.cells import Cells, letter
from snath.shop.tables.harmless import as_it_was
from snath.shop.tables.headings import each_once

MOST_MACHINES = 20_000
BARE = re.compile(r"[0-9][0-9., ]*")


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
        first = table.head or next(iter(table.rows), ())
        raise InputError("table", ", ".join(filter(None, first)), Message("fleet.headings-needed"))
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
        sheet = composed(cells, self.mark)
        faults: list[InputError] = []
        machine: Machine | None = None
        try:
            machine = read_sheet(sheet.text)
        except InputErrors as found:
            faults += [under_column(fault, sheet) for fault in found.faults]
        kept, beside = self._beside(line, cells, sheet.text)
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
        if key_of(column) in LENGTHS:
            return with_unit(text, unit or self.length, dimension="length", decimal_mark=self.mark)
        if is_figure(column):
            return f"{text} {unit or 'rpm'}" if BARE.fullmatch(text) else text
        return text

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
