"""The cells of a spreadsheet file, with nothing in it unpacked before its size is known and nothing worked out."""

import io
import zipfile
from collections.abc import Callable, Iterator
from importlib import import_module
from typing import Any

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.shop.extras import needed
from snath.shop.tables.cells import Cells, as_typed, table_of

MOST_PACKED, MOST_UNPACKED = 20_000_000, 60_000_000  # bytes of the file, and of everything in it
MOST_PARTS, MOST_COLUMNS = 1_000, 200
ENDINGS = (".xlsx", ".xlsm")


def is_workbook(content: bytes) -> bool:
    """Whether a file begins as a spreadsheet does, which is a zip archive; a table of text never does."""
    return content[:4] == b"PK\x03\x04"


def cells_of_workbook(
    content: bytes,
    is_heading: Callable[[str], bool],
    *,
    most: int,
    sheet: str = "",
    decimal_mark: DecimalMark = ".",
) -> Cells:
    """The cells of one sheet as text.

    Parameters
    ----------
    content : bytes
        The file (Office Open XML, ISO/IEC 29500).
    is_heading : callable
        Whether a cell is the heading of a column.
    most : int
        Rows; one more is read so that the reader can tell.
    sheet : str
        Its name; empty takes the first.
    decimal_mark : str
        How numbers are to be written as text.

    Raises
    ------
    InputError
        If it is no spreadsheet, unpacks to too much, has no such sheet, or the library is not installed.
    """
    _refuse_bomb(content)
    for library in (
        "openpyxl",
        "defusedxml",
    ):  # the first takes the second, which refuses what could grow, by itself
        needed(library)
    openpyxl: Any = import_module("openpyxl")
    try:
        book = openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=False, keep_links=False)
        try:
            names = [one.title for one in book.worksheets]
            if not names or (sheet and sheet not in names):
                raise InputError("sheet", sheet, Message("fleet.no-such-sheet", known=tuple(names)))
            rows = _rows(book[sheet or names[0]], most, decimal_mark)
            return table_of(rows, is_heading, most=most, sheet=sheet or names[0])
        finally:
            book.close()
    except InputError:
        raise
    except Exception as fault:  # whatever a library says of a file that is not what it claims to be
        why = type(fault).__name__
        raise InputError("table", "spreadsheet", Message("fleet.not-a-workbook", why=why)) from None


def _refuse_bomb(content: bytes) -> None:
    """Refuse what is too large before any of it is unpacked: a part never gives more than its entry says."""
    if len(content) > MOST_PACKED:
        raise InputError("table", f"{len(content)} B", Message("fleet.file-most", most=MOST_PACKED))
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            parts = archive.infolist()
    except (zipfile.BadZipFile, ValueError, OSError):
        raise InputError("table", "file", Message("fleet.not-a-workbook", why="BadZipFile")) from None
    unpacked = sum(part.file_size for part in parts)
    if unpacked > MOST_UNPACKED or len(parts) > MOST_PARTS:
        raise InputError("table", f"{unpacked} B", Message("fleet.unpacks-to", most=MOST_UNPACKED))


def _rows(sheet: Any, most: int, mark: DecimalMark) -> Iterator[list[str]]:
    for row in sheet.iter_rows(max_row=4 * most + 8, max_col=MOST_COLUMNS):
        yield [_text(cell, mark) for cell in row]


def _text(cell: Any, mark: DecimalMark) -> str:
    """A cell as somebody would type it; a formula as its text, which the reader of the row refuses."""
    if cell.data_type == "f":
        return f"={getattr(cell.value, 'text', cell.value)}".replace("==", "=", 1)
    return as_typed(cell.value, mark, percent="%" in (getattr(cell, "number_format", "") or ""))
