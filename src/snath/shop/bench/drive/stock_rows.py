"""How pulleys and belts of the shop's records become the stock a search may take from, and back."""

import json
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from functools import cache
from typing import Any

from django.db import transaction
from django.db.models import F
from django.db.models.functions import Greatest
from pydantic import TypeAdapter, ValidationError

from snath.decisions.drive.stock import Stock, StockBelt, StockSheave
from snath.quantities.numbers import DecimalMark
from snath.shop.records.models import StockPart

PULLEY, BELT = "pulley", "belt"
NAME_MOST, PART_MOST, PLACE_MOST = 120, 60, 60


@dataclass(frozen=True, slots=True)
class Shelf:
    """What is in stock, and how many parts have no sizes yet."""

    stock: Stock
    unmeasured: int


def shelf() -> Shelf:
    """Everything in stock that can be part of a drive, in the order of the parts' names."""
    rows = StockPart.objects.filter(kind__in=(PULLEY, BELT)).order_by("name", "pk")
    sheaves: list[StockSheave] = []
    belts: list[StockBelt] = []
    unmeasured = 0
    for row in rows:
        item = item_of(row)
        if item is None:
            unmeasured += 1
        elif row.count and isinstance(item, StockSheave):
            sheaves.append(item)
        elif row.count and isinstance(item, StockBelt):
            belts.append(item)
    return Shelf(Stock(tuple(sheaves), tuple(belts)), unmeasured)


def numbered(stock: Stock, numbers: Iterable[str]) -> Stock:
    """The stock with nothing in it but these numbers."""
    wanted = set(numbers)
    return Stock(
        tuple(s for s in stock.sheaves if s.number in wanted),
        tuple(b for b in stock.belts if b.number in wanted),
    )


@dataclass(frozen=True, slots=True)
class Typed:
    """The cells of a table as they were typed, by stock number, with the decimal mark they were written in."""

    rows: Mapping[str, Mapping[str, str]]
    mark: DecimalMark = "."


@transaction.atomic
def put_on_shelf(stock: Stock, typed: Typed | None = None, *, on: StockPart | None = None) -> int:
    """Keep these pulleys and belts; one whose number is there already gets its new sizes. Returns how many.

    `on` is the part that is being changed, whatever its number was.
    """
    there = {number: row for row in _numbered_rows() if (number := number_of(row))}
    for item in stock.items:
        row = on or there.get(item.number) or StockPart()
        _fill(row, item, typed)
        row.save()
    return len(stock.items)


@transaction.atomic
def count_down(numbers: Iterable[str]) -> None:
    """One piece less of each number, as often as it is named; never under none."""
    used = Counter(filter(None, numbers))
    for row in _numbered_rows():
        if pieces := used.get(number_of(row)):
            StockPart.objects.filter(pk=row.pk).update(count=Greatest(F("count") - pieces, 0))


def next_number() -> str:
    """The next free stock number: one more than the largest that is a plain number."""
    taken = [number_of(row) for row in _numbered_rows()]
    return str(max((int(one) for one in taken if one.isdecimal() and len(one) < 9), default=0) + 1)


def number_of(row: StockPart) -> str:
    """The stock number of a part; empty where it has none."""
    item = item_of(row)
    return item.number if item else ""


def _numbered_rows() -> list[StockPart]:
    return list(StockPart.objects.filter(kind__in=(PULLEY, BELT)).exclude(data="{}"))


def _fill(row: StockPart, item: StockSheave | StockBelt, typed: Typed | None) -> None:
    cells = dict(typed.rows.get(item.number, {})) if typed else {}
    kept = {key: value for key, value in kept_of(row).items() if key == "photo"}
    data = kept | asdict(item)
    if cells and typed:
        data |= {"typed": {key: value for key, value in cells.items() if value}, "mark": typed.mark}
    row.kind = PULLEY if isinstance(item, StockSheave) else BELT
    row.name = _name(item, cells)[:NAME_MOST]
    row.maker_part = (item.part if isinstance(item, StockSheave) else item.belt.part)[:PART_MOST]
    if cells.get("count", "").isdecimal():
        row.count = int(cells["count"])
    elif isinstance(item, StockSheave):
        row.count = item.count
    row.place = item.place[:PLACE_MOST]
    row.data = json.dumps(data, ensure_ascii=False)


def kept_of(row: StockPart) -> dict[str, Any]:
    """What is kept with a part; empty where that is no table."""
    try:
        data = json.loads(row.data)
    except ValueError:
        return {}
    return data if isinstance(data, dict) else {}


def _name(item: StockSheave | StockBelt, cells: Mapping[str, str]) -> str:
    if isinstance(item, StockBelt):
        return f"{item.number} · {item.belt.name}"
    bore = f", {item.bore}" if item.bore else ""
    size = cells.get("outside") or f"{item.outside * 1000:.1f} mm".replace(".0 mm", " mm")
    return f"{item.number} · {item.section} {size}{bore}"


def item_of(row: StockPart) -> StockSheave | StockBelt | None:
    """The part with what its own columns say now: count, place and maker's number may have been changed."""
    try:
        if row.kind == PULLEY:
            kept = {**json.loads(row.data), "count": row.count, "part": row.maker_part, "place": row.place}
            return _sheaves().validate_python(kept)
        kept = json.loads(row.data)
        kept |= {"belt": {**kept["belt"], "part": row.maker_part}, "place": row.place}
        return _belts().validate_python(kept)
    except (ValidationError, ValueError, KeyError, TypeError):
        return None


@cache
def _sheaves() -> TypeAdapter[StockSheave]:
    return TypeAdapter(StockSheave)


@cache
def _belts() -> TypeAdapter[StockBelt]:
    return TypeAdapter(StockBelt)
