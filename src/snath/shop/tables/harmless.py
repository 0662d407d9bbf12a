"""Write a cell so that a spreadsheet shows it as text and works nothing out."""

import csv
import io
from collections.abc import Iterable

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "|", "%", "\uff1d", "\uff0b", "\uff0d", "\uff20")


def harmless(cell: str) -> str:
    """The cell as text: a spreadsheet would work out one that begins like a formula."""
    return f"'{cell}" if cell.lstrip(" \u00a0\u200b\ufeff").startswith(FORMULA_STARTS) else cell


def as_it_was(cell: str) -> str:
    """What `harmless` was given, where it made this of it."""
    return cell[1:] if cell.startswith("'") and harmless(cell[1:]) == cell else cell


def csv_line(cells: Iterable[object], *, end: str = "\r\n") -> str:
    """One line of a table that a spreadsheet opens without running anything; figures stay figures."""
    out = io.StringIO()
    csv.writer(out, lineterminator=end).writerow(
        [harmless(cell) if isinstance(cell, str) else cell for cell in cells]
    )
    return out.getvalue()
