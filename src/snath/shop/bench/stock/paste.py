"""A table pasted from a spreadsheet: where its cells end, what its columns hold, which table it becomes."""

import csv
import io
import re
from collections.abc import Callable
from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy

from snath.decisions.drive.bore import bore_of
from snath.decisions.drive.stock_csv import BELT_COLUMNS, SHEAVE_COLUMNS
from snath.formulas.belts.lengths import read_name
from snath.formulas.belts.sections import tables
from snath.quantities.errors import InputError
from snath.quantities.numbers import DecimalMark
from snath.shop.bench.deck.wheels import Hand
from snath.shop.bench.drive.typed_words import CELLS, HEADINGS, bore_for_core
from snath.shop.bench.stock.part_form import LENGTHS, MONEY, csv_of

SEPARATORS = ("\t", ";", ",")
MOST_ROWS = 5_000
COLUMNS = {"sheaves": SHEAVE_COLUMNS, "belts": BELT_COLUMNS}
NAMES: dict[str, str | Promise] = {
    "": gettext_lazy("not used"),
    "number": gettext_lazy("stock number"),
    "count": gettext_lazy("how many"),
    "section": gettext_lazy("belt section"),
    "outside": gettext_lazy("outside diameter"),
    "datum": gettext_lazy("datum diameter"),
    "offset": gettext_lazy("outside less datum"),
    "bore": gettext_lazy("bore"),
    "hub_offset": gettext_lazy("groove from the hub's face"),
    "make": gettext_lazy("stamped or cast"),
    "grooves": gettext_lazy("grooves"),
    "part": gettext_lazy("maker's number"),
    "price": gettext_lazy("price"),
    "place": gettext_lazy("place"),
    "belt": gettext_lazy("belt, as printed"),
    "outside_length": gettext_lazy("outside length"),
    "tolerance": gettext_lazy("± of its length"),
    "aramid": gettext_lazy("aramid cord"),
}
# What spreadsheets call these, beside the words of the shop's own table. From memory; more may be mapped by hand.
ALSO = {
    "number": ("no", "no.", "nr", "nr.", "sku", "item", "artikel", "lagernummer", "stock number", "stock no"),
    "count": ("qty", "quantity", "pieces", "menge", "stück", "bestand", "on hand"),
    "outside": (
        "od",
        "o.d.",
        "diameter",
        "size",
        "durchmesser",
        "größe",
        "outside diameter",
        "außendurchmesser",
    ),
    "section": ("belt section", "groove", "type", "riemenprofil", "profile"),
    "bore": ("shaft", "bore size", "welle"),
    "part": ("maker part", "oem", "part number", "part no", "hersteller-nr", "teilenr"),
    "price": ("cost", "each", "vk", "ek", "preis €", "price $"),
    "place": ("bin", "location", "shelf", "lagerort", "fach", "regal"),
    "belt": ("belt number", "designation", "bezeichnung", "riemen"),
    "outside_length": ("length", "länge"),
}
MONEY_CELL = re.compile(r"[$€£]|^[0-9]+[.,][0-9]{2}$")


@dataclass(frozen=True, slots=True)
class Pasted:
    """Cells of a pasted table; `head` is empty where its first line is a row like any other."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    @property
    def width(self) -> int:
        return max((len(row) for row in (self.head, *self.rows)), default=0)


def pasted(text: str, kind: str) -> Pasted:
    """The cells of a text: parted by tabulators, else semicolons, else commas."""
    plain = text.lstrip("\ufeff").strip("\n\r")
    lines = plain.splitlines()[:20]
    separator = next((one for one in SEPARATORS if any(one in line for line in lines)), ",")
    try:
        cells = [
            tuple(cell.strip() for cell in row) for row in csv.reader(io.StringIO(plain), delimiter=separator)
        ]
    except csv.Error:
        cells = [tuple(cell.strip() for cell in line.split(separator)) for line in plain.splitlines()]
    rows = [row for row in cells if any(row)][: MOST_ROWS + 1]
    if rows and any(column_named(cell, kind) for cell in rows[0]):
        return Pasted(rows[0], tuple(rows[1:]))
    return Pasted((), tuple(rows))


def column_named(head: str, kind: str) -> str:
    """The column a heading speaks of; empty where it is none we know."""
    plain = " ".join(head.strip().lower().replace("_", " ").split())
    core = HEADINGS.get(plain, plain).replace(" ", "_")
    if core in COLUMNS[kind]:
        return core
    found = next((column for column, words in ALSO.items() if plain in words), "")
    return found if found in COLUMNS[kind] else ""


def guessed(table: Pasted, kind: str, hand: Hand) -> list[str]:
    """What each column holds, by its heading, else by its first cells; no column twice."""
    found: list[str] = []
    for at in range(table.width):
        head = table.head[at] if at < len(table.head) else ""
        column = column_named(head, kind) if table.head else ""
        if not table.head:
            cells = [row[at] for row in table.rows[:8] if at < len(row) and row[at]]
            column = _by_cells(cells, at, kind, hand)
        found.append("" if column in found else column)
    return found


def _by_cells(cells: list[str], at: int, kind: str, hand: Hand) -> str:
    def every(good: Callable[[str], bool]) -> bool:
        return bool(cells) and all(good(cell) for cell in cells)

    length = "outside" if kind == "sheaves" else "outside_length"
    tests: tuple[tuple[str, Callable[[str], bool]], ...] = (  # the first that holds for all of them
        ("belt", lambda cell: _reads(lambda: read_name(cell))),
        ("section", lambda cell: cell.upper() in tables()["runs_in"]),
        ("number", lambda _: at == 0),
        ("count", lambda cell: cell.isdecimal() and len(cell) < 4),
        ("price", lambda cell: bool(MONEY_CELL.search(cell))),
        (length, lambda cell: _reads(lambda: hand.read(cell))),
        ("bore", lambda cell: _reads(lambda: bore_of(bore_for_core(cell), decimal_mark=hand.mark))),
    )
    return next((name for name, good in tests if name in COLUMNS[kind] and every(good)), "")


def _reads(read: Callable[[], object]) -> bool:
    try:
        read()
    except InputError:
        return False
    return True


def own_table(table: Pasted, columns: list[str], hand: Hand, first_number: int) -> list[dict[str, str]]:
    """The rows under the names of the shop's own table: bare lengths with their unit, prices without their sign.

    A row without a stock number gets the next free one.
    """
    found = []
    for row in table.rows:
        cells = {column: row[at] for at, column in enumerate(columns) if column and at < len(row)}
        for column in LENGTHS:
            if cells.get(column):
                cells[column] = hand.with_unit(cells[column])
        if cells.get("price"):
            cells["price"] = cells["price"].translate(MONEY).replace("\u00a0", "").strip()
        if cells.get("bore"):
            cells["bore"] = bore_for_core(cells["bore"])
        for column, words in CELLS.items():
            if cells.get(column):
                cells[column] = words.get(cells[column].lower(), cells[column])
        if cells.get("section"):
            cells["section"] = cells["section"].upper()
        if not cells.get("number"):
            cells["number"] = str(first_number)
            first_number += 1
        found.append(cells)
    return found


def as_csv(rows: list[dict[str, str]], kind: str) -> str:
    """The shop's own table of these rows, for the reader every table goes through."""
    columns = COLUMNS[kind]
    return csv_of([columns, *([row.get(column, "") for column in columns] for row in rows)])


def mark_of(table: Pasted, liking_mark: DecimalMark) -> DecimalMark:
    """The decimal mark a table is written with: the reader's, unless its cells have only the other one."""
    cells = [cell for row in table.rows[:50] for cell in row]
    commas = sum(bool(re.search(r"[0-9],[0-9]{1,2}(?![0-9])", cell)) for cell in cells)
    points = sum(bool(re.search(r"[0-9]\.[0-9]{1,2}(?![0-9])", cell)) for cell in cells)
    if commas and not points:
        return ","
    return "." if points and not commas else liking_mark
