"""Read the words of a table of stock, or of a bore, in any language as those the core knows.

The words of every language are taken whatever language is spoken: a table made at the desk is sent from any phone.
"""

import csv
import io
import re

from snath.shop.tables.typed import typed

HEADINGS, HOLDS = typed("heading"), typed("hold")
CELLS = {column: typed(f"cell.{column}") for column in ("aramid", "make")}
TEETH = re.compile(rf"(\d+) ?(?:{'|'.join(typed('tooth'))})? ?(?:{'|'.join(typed('spline'))})", re.IGNORECASE)
DELIMITERS = (";", "\t")


def table_for_core(text: str) -> str:
    """The table with the core's headings and words, cells parted by commas; every line stays on its line."""
    text = text.lstrip("\ufeff")
    first = text.split("\n", 1)[0]
    delimiter = next((one for one in DELIMITERS if one in first), ",")
    try:
        rows = list(csv.reader(io.StringIO(text), delimiter=delimiter))
    except csv.Error:
        return text  # the core says what is wrong with it
    if not rows:
        return text
    heads = [_heading(cell) for cell in rows[0]]
    written = io.StringIO()
    put = csv.writer(written, lineterminator="\n")
    put.writerow(heads)
    for cells in rows[1:]:
        put.writerow([_cell(heads[at] if at < len(heads) else "", cell) for at, cell in enumerate(cells)])
    return written.getvalue()


def bore_for_core(text: str) -> str:
    """A bore with the core's word for how the pulley holds on it."""
    plain = " ".join(text.split())
    if teeth := TEETH.fullmatch(plain):
        return f"{teeth.group(1)} tooth spline"
    size, _, last = plain.rpartition(" ")
    return f"{size} {HOLDS[last.lower()]}" if last.lower() in HOLDS else text


def _heading(cell: str) -> str:
    plain = cell.strip().lower()
    return HEADINGS.get(plain, cell)


def _cell(column: str, cell: str) -> str:
    column = column.strip().lower().replace(" ", "_")
    if column == "bore":
        return bore_for_core(cell)
    return CELLS.get(column, {}).get(cell.strip().lower(), cell)
