"""Read rows of a table of the shop's own: known headings, each number once, bad rows set aside with a reason."""

import csv
import io
from collections.abc import Callable, Iterator
from typing import TypeVar

from snath.decisions.drive.stock import RowFault, StockBelt, StockSheave
from snath.quantities.errors import InputError
from snath.quantities.message import Message

MOST_ROWS = 20_000

Row = dict[str, str]
Item = TypeVar("Item", StockSheave, StockBelt)


def read_rows(
    table: str, text: str, columns: tuple[str, ...], read: Callable[[Row], Item], faults: list[RowFault]
) -> list[Item]:
    """The items of one table in their order; what cannot be used is added to the faults.

    Raises
    ------
    InputError
        If the headings cannot be used at all.
    """
    found: list[Item] = []
    seen: dict[str, int] = {}
    for line, row in _rows(table, text, columns):
        try:
            if isinstance(row, InputError):
                raise row
            item = read(row)
            if item.number in seen:
                raise InputError("number", item.number, Message("stock.line-already", line=seen[item.number]))
            seen[item.number] = line
        except InputError as fault:
            faults.append(RowFault(table, line, fault))
        else:
            found.append(item)
    return found


def _rows(table: str, text: str, columns: tuple[str, ...]) -> Iterator[tuple[int, Row | InputError]]:
    text = text.lstrip("\ufeff")
    if not text.strip():
        return
    reader = csv.reader(io.StringIO(text))
    try:
        heads = _heads(table, next(reader), columns)
        for cells in reader:
            if reader.line_num > MOST_ROWS:
                raise InputError(table, reader.line_num, Message("stock.most-lines", most=MOST_ROWS))
            if not any(cell.strip() for cell in cells):
                continue
            if len(cells) > len(heads):
                fault = InputError(
                    "row", ", ".join(cells), Message("stock.cells", cells=len(cells), columns=len(heads))
                )
                yield reader.line_num, fault
                continue
            row = dict.fromkeys(columns, "") | {h: c.strip() for h, c in zip(heads, cells, strict=False)}
            yield reader.line_num, row
    except csv.Error as why:
        raise InputError(table, f"line {reader.line_num}", Message("stock.not-csv", why=str(why))) from None


def _heads(table: str, cells: list[str], columns: tuple[str, ...]) -> list[str]:
    heads = [cell.strip().lower().replace(" ", "_") for cell in cells]
    where = f"{table}, line 1"
    if unknown := [head for head in heads if head not in columns]:
        raise InputError(where, ", ".join(unknown), Message("stock.columns", known=columns))
    if twice := [head for head in heads if heads.count(head) > 1]:
        raise InputError(where, twice[0], Message("stock.stands-twice"))
    if "number" not in heads:
        raise InputError(where, ", ".join(heads), Message("stock.number-column"))
    return heads
