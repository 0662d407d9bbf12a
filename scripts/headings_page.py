"""Print which headings a table of machines may have, and which words below them are known, in every language."""

from snath.shop.fleet.columns import CELLS, COLUMNS
from snath.shop.tables.typed import typed

HEAD = """# Headings of a table of machines

Printed from the program itself by `python scripts/print_docs.py`; do not edit.

What stands below each, and how a table is worked, is told in [a fleet in one go](fleet.md). Capitals do not matter; a
unit may stand behind a heading, as in `blade (mm)` or `Messer (mm)`.

| heading | also | in German |
| --- | --- | --- |
"""

CELLS_HEAD = """
## Words below them in German

The English words stand on [the sheet](sheet.md), and where one is wrong the fault at its cell lists them.

| heading | word | is |
| --- | --- | --- |
"""


def headings() -> str:
    """The page."""
    rows = [f"| `{column}` | {_called(column, 'en')} | {_called(column, 'de')} |\n" for column in COLUMNS]
    words = [
        f"| {_called(column, 'de').split(', ')[0]} | {word} | {core} |\n"
        for column in COLUMNS
        if CELLS[column]
        for word, core in typed(f"cell.{column}", "de").items()
    ]
    return "".join((HEAD, *rows, CELLS_HEAD, *words))


def _called(column: str, language: str) -> str:
    """What a language calls a column, the usual word first."""
    return ", ".join(word for word, core in typed("fleet", language).items() if core == column)
