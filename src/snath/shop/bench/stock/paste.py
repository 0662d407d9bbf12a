"""A table pasted from a spreadsheet: where its cells end, what its columns hold, which table it becomes."""

import re
from collections.abc import Callable

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy

from snath.decisions.drive.bore import bore_of
from snath.decisions.drive.stock_csv import BELT_COLUMNS, SHEAVE_COLUMNS
from snath.formulas.belts.lengths import read_name
from snath.formulas.belts.sections import tables
from snath.quantities.errors import InputError
from snath.shop.bench.deck.wheels import Hand
from snath.shop.bench.stock.part_form import LENGTHS, MONEY, csv_of
from snath.shop.tables.cells import Cells, cells_of
from snath.shop.tables.headings import column_named, each_once
from snath.shop.tables.stock_words import CELLS, HEADINGS, bore_for_core

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


def pasted(text: str, kind: str) -> Cells:
    """The cells of a pasted text."""
    return cells_of(text, lambda cell: bool(column_of(cell, kind)), most=MOST_ROWS)


def column_of(head: str, kind: str) -> str:
    """The column a heading speaks of; empty where it is none we know."""
    return column_named(head, COLUMNS[kind], HEADINGS, ALSO)


def guessed(table: Cells, kind: str, hand: Hand) -> list[str]:
    """What each column holds, by its heading, else by its first cells; no column twice."""
    return each_once(
        table, lambda head: column_of(head, kind), lambda cells, at: _by_cells(cells, at, kind, hand)
    )


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


def own_table(table: Cells, columns: list[str], hand: Hand, first_number: int) -> list[dict[str, str]]:
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
