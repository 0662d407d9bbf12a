"""The shelf from two tables of the shop's own: good rows kept, each bad row explained."""

import csv
import io
import math
import re
from collections.abc import Callable, Iterator
from typing import TypeVar

from snath.decisions.drive.frame import SPECIAL_TOLERANCE, Belt, belt_by_name
from snath.decisions.drive.stock import RowFault, Stock, StockBelt, StockSheave
from snath.formulas.belts.sections import groove_of, groove_offset, has_offset
from snath.quantities.errors import InputError, within
from snath.quantities.numbers import DecimalMark, parse_number
from snath.quantities.units import parse

MOST_ROWS = 20_000
SHEAVE_COLUMNS = (
    "number", "count", "section", "outside", "datum", "offset", "bore", "hub_offset", "make", "grooves", "part",
    "price", "place",
)  # fmt: skip
BELT_COLUMNS = (
    "number",
    "count",
    "belt",
    "section",
    "outside_length",
    "tolerance",
    "aramid",
    "part",
    "price",
    "place",
)
SHAPES = ("round", "key", "double-D", "spline")


Row = dict[str, str]
Item = TypeVar("Item", StockSheave, StockBelt)


def read_stock(*, sheaves: str, belts: str, decimal_mark: DecimalMark = ".") -> Stock:
    """The shelf from its two tables.

    Parameters
    ----------
    sheaves, belts : str
        CSV with a line of headings, see `SHEAVE_COLUMNS` and `BELT_COLUMNS`; empty for none.
    decimal_mark : str
        How numbers are written.

    Returns
    -------
    Stock
        Good rows in their order; a fault for every other row.

    Raises
    ------
    InputError
        If a table's headings cannot be used at all.
    """
    faults: list[RowFault] = []
    good_sheaves = _read("sheaves", sheaves, SHEAVE_COLUMNS, lambda row: _sheave(row, decimal_mark), faults)
    good_belts = _read("belts", belts, BELT_COLUMNS, lambda row: _belt(row, decimal_mark), faults)
    return Stock(tuple(good_sheaves), tuple(good_belts), tuple(faults), tuple(_remarks(good_belts)))


def bore_of(text: str, *, field: str = "bore", decimal_mark: DecimalMark = ".") -> str:
    """A bore in one normal form, so that the same bore written two ways is found the same.

    Parameters
    ----------
    text : str
        Size and shape, "1 in key", "17 mm double-D", "15 tooth spline"; a size alone is round.

    Returns
    -------
    str
        "25.40 mm key", "15 tooth spline"; empty stays empty.

    Raises
    ------
    InputError
        If it is none of these.
    """
    allowed = "must be a size and one of round, key, double-D or spline, such as 1 in key or 15 tooth spline"
    plain = " ".join(text.split())
    if not plain:
        return ""
    match = re.fullmatch(r"(.+?)(?: (round|key|keyed|double-d|spline))?", plain, re.IGNORECASE)
    assert match is not None
    shape = {"keyed": "key", "double-d": "double-D"}.get(
        (match.group(2) or "round").lower(), (match.group(2) or "round").lower()
    )
    if shape == "spline":
        teeth = re.fullmatch(r"(\d{1,2}) ?(?:tooth|teeth|t)", match.group(1), re.IGNORECASE)
        if teeth is None:
            raise InputError(field, text, allowed)
        return f"{int(teeth.group(1))} tooth spline"
    try:
        size = parse(match.group(1), dimension="length", field=field, decimal_mark=decimal_mark).value
    except InputError:
        raise InputError(field, text, allowed) from None
    within(field, size, 0.003, 0.2, "m")
    return f"{size * 1000:.2f} mm {shape}"


def _read(
    table: str, text: str, columns: tuple[str, ...], read: Callable[[Row], Item], faults: list[RowFault]
) -> list[Item]:
    found: list[Item] = []
    seen: dict[str, int] = {}
    for line, row in _rows(table, text, columns):
        try:
            if isinstance(row, InputError):
                raise row
            item = read(row)
            if item.number in seen:
                raise InputError("number", item.number, f"stands on line {seen[item.number]} already")
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
                raise InputError(table, f"{reader.line_num} lines", f"must be at most {MOST_ROWS} lines")
            if not any(cell.strip() for cell in cells):
                continue
            if len(cells) > len(heads):
                fault = InputError(
                    "row", ", ".join(cells), f"has {len(cells)} cells for {len(heads)} columns"
                )
                yield reader.line_num, fault
                continue
            row = dict.fromkeys(columns, "") | {h: c.strip() for h, c in zip(heads, cells, strict=False)}
            yield reader.line_num, row
    except csv.Error as why:
        raise InputError(table, f"line {reader.line_num}", f"is not a CSV table: {why}") from None


def _heads(table: str, cells: list[str], columns: tuple[str, ...]) -> list[str]:
    heads = [cell.strip().lower().replace(" ", "_") for cell in cells]
    where = f"{table}, line 1"
    if unknown := [head for head in heads if head not in columns]:
        raise InputError(where, ", ".join(unknown), f"columns here are {', '.join(columns)}")
    if twice := [head for head in heads if heads.count(head) > 1]:
        raise InputError(where, twice[0], "stands twice")
    if "number" not in heads:
        raise InputError(where, ", ".join(heads), "a column number is needed: the shop's stock number")
    return heads


def _sheave(row: Row, mark: DecimalMark) -> StockSheave:
    section = groove_of(_needed(row, "section"))
    if bool(row["outside"]) == bool(row["datum"]):
        given = "both" if row["outside"] else "nothing"
        raise InputError(
            "outside", given, "give the outside diameter, or the datum diameter stamped on it, one of them"
        )
    if row["offset"]:
        offset = within("offset", _length(row, "offset", mark), 0, 0.05, "m")
    elif has_offset(section):
        offset = groove_offset(section)
    else:
        raise InputError(
            "section",
            section,
            "no page tells how deep the belt sits in this groove: give offset, outside less "
            "datum diameter, from the sheave maker's page",
        )
    outside = _length(row, "outside", mark) if row["outside"] else _length(row, "datum", mark) + offset
    make = row["make"].lower() or "stamped"
    if make not in ("stamped", "cast"):
        raise InputError("make", row["make"], "must be stamped or cast")
    grooves = row["grooves"] or "1"
    if not grooves.isdecimal() or not 1 <= int(grooves) <= 10:
        raise InputError("grooves", grooves, "must be a whole number from 1 to 10")
    return StockSheave(
        number=_needed(row, "number"),
        count=_count(row),
        section=section,
        outside=float(within("outside", outside, max(0.02, 1.5 * offset), 1.5, "m")),
        offset=float(offset),
        bore=bore_of(row["bore"], decimal_mark=mark),
        hub_offset=_length(row, "hub_offset", mark) if row["hub_offset"] else 0.0,
        cast=make == "cast",
        grooves=int(grooves),
        part=row["part"],
        price=_price(row, mark),
        place=row["place"],
    )


def _belt(row: Row, mark: DecimalMark) -> StockBelt:
    number, name, price = _needed(row, "number"), _needed(row, "belt"), _price(row, mark)
    _count(row)
    if row["aramid"].lower() not in ("", "yes", "no"):
        raise InputError("aramid", row["aramid"], "must be yes or no")
    aramid = row["aramid"].lower() == "yes"
    if not row["outside_length"]:
        return StockBelt(
            number, belt_by_name(name, part=row["part"], aramid=aramid, price=price), price, row["place"]
        )
    section = _needed(row, "section")
    groove_of(section)
    length = float(within("outside_length", _length(row, "outside_length", mark), 0.2, 20, "m"))
    off = _length(row, "tolerance", mark) if row["tolerance"] else SPECIAL_TOLERANCE
    belt = Belt(name, section, length, off, "outside", row["part"], aramid, price)
    return StockBelt(number, belt, price, row["place"])


def _remarks(belts: list[StockBelt]) -> Iterator[str]:
    names: dict[str, list[str]] = {}
    for item in belts:
        names.setdefault(re.sub(r"[\s-]+", "", item.belt.name).upper(), []).append(item.number)
    for name, numbers in names.items():
        if len(numbers) > 1:
            yield f"Belt {name} is in stock more than once: numbers {', '.join(numbers)}."


def _needed(row: Row, column: str) -> str:
    if not row[column]:
        raise InputError(column, "nothing", "must be given")
    return row[column]


def _length(row: Row, column: str, mark: DecimalMark) -> float:
    return parse(row[column], dimension="length", field=column, decimal_mark=mark).value


def _count(row: Row) -> int:
    count = row["count"] or "1"
    if not count.isdecimal() or not 1 <= int(count) <= 10_000:
        raise InputError(
            "count", count, "must be a whole number of pieces from 1 to 10,000, or nothing for one"
        )
    return int(count)


def _price(row: Row, mark: DecimalMark) -> float:
    allowed = "a price as a bare number, such as 12.50, or nothing"
    if not row["price"]:
        return 0.0
    value = float(parse_number(row["price"], field="price", decimal_mark=mark, allowed=f"must be {allowed}"))
    if not 0 <= value < 1e6 or not math.isfinite(value):
        raise InputError("price", row["price"], f"must be {allowed}")
    return value
