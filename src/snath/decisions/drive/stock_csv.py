"""Read the shelf from two tables of the shop's own: keep good rows, explain each bad one."""

import math
import re
from collections.abc import Iterator

from snath.decisions.drive.belt import SPECIAL_TOLERANCE, Belt, belt_by_name
from snath.decisions.drive.bore import bore_of
from snath.decisions.drive.stock import RowFault, Stock, StockBelt, StockSheave
from snath.decisions.drive.stock_table import Row, read_rows
from snath.formulas.belts.sections import groove_of, groove_offset, has_offset
from snath.quantities.errors import InputError, within
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark, parse_number
from snath.quantities.units import parse

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
    good_sheaves = read_rows(
        "sheaves", sheaves, SHEAVE_COLUMNS, lambda row: _sheave(row, decimal_mark), faults
    )
    good_belts = read_rows("belts", belts, BELT_COLUMNS, lambda row: _belt(row, decimal_mark), faults)
    return Stock(tuple(good_sheaves), tuple(good_belts), tuple(faults), tuple(_remarks(good_belts)))


def _sheave(row: Row, mark: DecimalMark) -> StockSheave:
    section = groove_of(_needed(row, "section"))
    outside, offset = _diameter(row, section, mark)
    return StockSheave(
        number=_needed(row, "number"),
        count=_count(row),
        section=section,
        outside=outside,
        offset=offset,
        bore=bore_of(row["bore"], decimal_mark=mark),
        hub_offset=_length(row, "hub_offset", mark) if row["hub_offset"] else 0.0,
        cast=_is_cast(row),
        grooves=_grooves(row),
        part=row["part"],
        price=_price(row, mark),
        place=row["place"],
    )


def _diameter(row: Row, section: str, mark: DecimalMark) -> tuple[float, float]:
    """Outside diameter, and outside less datum diameter. [m]"""
    if bool(row["outside"]) == bool(row["datum"]):
        given = "both" if row["outside"] else "nothing"
        raise InputError("outside", given, Message("stock.outside-or-datum"))
    offset = _offset(row, section, mark)
    outside = _length(row, "outside", mark) if row["outside"] else _length(row, "datum", mark) + offset
    return float(within("outside", outside, max(0.02, 1.5 * offset), 1.5, "m")), offset


def _offset(row: Row, section: str, mark: DecimalMark) -> float:
    if row["offset"]:
        return float(within("offset", _length(row, "offset", mark), 0, 0.05, "m"))
    if has_offset(section):
        return groove_offset(section)
    raise InputError(
        "section",
        section,
        Message("stock.give-offset"),
    )


def _is_cast(row: Row) -> bool:
    make = row["make"].lower() or "stamped"
    if make not in ("stamped", "cast"):
        raise InputError("make", row["make"], Message("stock.stamped-or-cast"))
    return make == "cast"


def _grooves(row: Row) -> int:
    grooves = row["grooves"] or "1"
    if not grooves.isdecimal() or not 1 <= int(grooves) <= 10:
        raise InputError("grooves", grooves, Message("stock.grooves"))
    return int(grooves)


def _belt(row: Row, mark: DecimalMark) -> StockBelt:
    number, name, price = _needed(row, "number"), _needed(row, "belt"), _price(row, mark)
    _count(row)
    if row["aramid"].lower() not in ("", "yes", "no"):
        raise InputError("aramid", row["aramid"], Message("stock.yes-or-no"))
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


def _remarks(belts: list[StockBelt]) -> Iterator[Message]:
    names: dict[str, list[str]] = {}
    for item in belts:
        names.setdefault(re.sub(r"[\s-]+", "", item.belt.name).upper(), []).append(item.number)
    for name, numbers in names.items():
        if len(numbers) > 1:
            yield Message("stock.belt-twice", belt=name, numbers=tuple(numbers))


def _needed(row: Row, column: str) -> str:
    if not row[column]:
        raise InputError(column, "nothing", Message("fault.needed"))
    return row[column]


def _length(row: Row, column: str, mark: DecimalMark) -> float:
    return parse(row[column], dimension="length", field=column, decimal_mark=mark).value


def _count(row: Row) -> int:
    count = row["count"] or "1"
    if not count.isdecimal() or not 1 <= int(count) <= 10_000:
        raise InputError("count", count, Message("stock.pieces"))
    return int(count)


def _price(row: Row, mark: DecimalMark) -> float:
    allowed = Message("stock.price")
    if not row["price"]:
        return 0.0
    value = float(parse_number(row["price"], field="price", decimal_mark=mark, allowed=allowed))
    if not 0 <= value < 1e6 or not math.isfinite(value):
        raise InputError("price", row["price"], allowed)
    return value
