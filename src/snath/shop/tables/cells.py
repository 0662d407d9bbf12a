"""Part a text table into cells and find its heading; a spreadsheet is read by `workbook`."""

import csv
import io
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from numbers import Real
from typing import Any

from snath.quantities.numbers import DecimalMark

SEPARATORS = ("\t", ";", ",")
# Three figures behind a mark may be a group, and those of a date (15.02.2025) are parted twice.
DECIMAL_COMMA = re.compile(r"(?<![0-9.,])[0-9.]+,[0-9]{1,2}(?![0-9]|[.,][0-9])")
DECIMAL_POINT = re.compile(r"(?<![0-9.,])[0-9,]+\.[0-9]{1,2}(?![0-9]|[.,][0-9])")
TITLE_LINES = 10  # so far down a heading is looked for below a title
Row = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Cells:
    """A table as text, cell by cell.

    Attributes
    ----------
    head : tuple of str
        Empty where its first line is a row like any other.
    rows : tuple of tuple of str
    lines : tuple of int
        The line each row stands on, from 1, as a spreadsheet counts.
    sheet : str
        Which sheet of a spreadsheet it is; empty for text.
    """

    head: Row
    rows: tuple[Row, ...]
    lines: tuple[int, ...] = ()
    sheet: str = ""

    @property
    def width(self) -> int:
        """Columns of the widest line."""
        return max((len(row) for row in (self.head, *self.rows)), default=0)


def cells_of(text: str, is_heading: Callable[[str], bool], *, most: int) -> Cells:
    """The cells of a text: parted by tabulators, else semicolons, else commas; rows beyond `most` + 1 are left out."""
    plain = text.lstrip("\ufeff").rstrip("\n\r")
    few = plain.splitlines()[:20]
    separator = next((one for one in SEPARATORS if any(one in line for line in few)), ",")
    try:
        lines = list(csv.reader(io.StringIO(plain), delimiter=separator))
    except csv.Error:
        lines = [line.split(separator) for line in plain.splitlines()]
    return table_of(lines, is_heading, most=most)


def table_of(
    lines: Iterable[Iterable[str]], is_heading: Callable[[str], bool], *, most: int, sheet: str = ""
) -> Cells:
    """The table of these lines; the first with anything in it is its heading where one of its cells is one.

    What stands above a heading of several known words, a title of one or two cells a line, is no row.
    """
    found: list[tuple[int, Row]] = []
    for at, line in enumerate(lines, start=1):
        row = [cell.strip() for cell in line]
        while row and not row[-1]:
            row.pop()
        if row:
            found.append((at, tuple(row)))
        if len(found) > most + 1:
            break
    first = found and any(map(is_heading, found[0][1]))
    place = 0 if first else _below_a_title(found, is_heading)
    head: Row = () if place is None else found[place][1]
    found = found if place is None else found[place + 1 :]
    return Cells(head, tuple(row for _, row in found), tuple(at for at, _ in found), sheet)


def as_typed(value: Any, mark: DecimalMark, *, percent: bool = False) -> str:
    """A value of a spreadsheet or a table as somebody would type it; nothing for none, and for what is no number."""
    if _is_none(value):
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == time() else value.isoformat(" ", "minutes")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Real):
        plain = format(Decimal(f"{float(value) * (100 if percent else 1):.10g}"), "f")
        return (plain.replace(".", ",") if mark == "," else plain) + (" %" if percent else "")
    return str(value)


def _below_a_title(found: list[tuple[int, Row]], is_heading: Callable[[str], bool]) -> int | None:
    """Where the heading stands that has only a title above it; None where there is no such."""
    for at, (_, row) in enumerate(found[:TITLE_LINES]):
        if sum(map(is_heading, row)) > 1:
            return at
        if sum(map(bool, row)) > 2:
            break
    return None


def _is_none(value: Any) -> bool:
    """Whether a cell holds nothing: none, no number, or what a library of tables has for a value that is missing."""
    try:
        return value is None or bool(value != value)
    except TypeError:  # it says neither yes nor no to whether it is itself
        return True


def text_of(cells: Cells) -> str:
    """The table as text parted by tabulators, every row on its own line again."""
    out = io.StringIO()
    write = csv.writer(out, delimiter="\t", lineterminator="\n")
    written = 0
    head = [(1, cells.head)] if cells.head else []
    for at, row in (*head, *zip(cells.lines, cells.rows, strict=True)):
        for _ in range(written + 1, at):
            out.write("\n")
        write.writerow(" ".join(cell.split()) for cell in row)
        written = max(written + 1, at)
    return out.getvalue()


def mark_of(rows: Iterable[Row], otherwise: DecimalMark) -> DecimalMark:
    """The decimal mark a table is written with: as somebody likes it, unless its cells have only the other one."""
    cells = [cell for row, _ in zip(rows, range(50), strict=False) for cell in row]
    commas = sum(bool(DECIMAL_COMMA.search(cell)) for cell in cells)
    points = sum(bool(DECIMAL_POINT.search(cell)) for cell in cells)
    if commas and not points:
        return ","
    return "." if points and not commas else otherwise


def letter(column: int) -> str:
    """A column counted from 0 as spreadsheets name it: A, B, ..., Z, AA."""
    name, left = "", column + 1
    while left:
        left, place = divmod(left - 1, 26)
        name = chr(65 + place) + name
    return name
