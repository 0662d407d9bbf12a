"""What stands on the shelf, row by row, in the words it was typed in."""

from dataclasses import dataclass

from snath.decisions.drive.needs import belts_beside
from snath.decisions.drive.stock import StockBelt, StockSheave
from snath.decisions.window.sold import next_sold
from snath.shop.bench import show
from snath.shop.bench.drive.shown import in_mark
from snath.shop.bench.drive.stock_rows import BELT, PULLEY, item_of, kept_of
from snath.shop.bench.drive.stock_shown import bore_shown
from snath.shop.bench.preferences import Preferences
from snath.shop.records.models import StockPart

A_LITTLE = 0.0005  # m


@dataclass(frozen=True, slots=True)
class PartRow:
    """One part as the table shows it."""

    record: StockPart
    number: str
    what: str
    size: str
    bore: str
    price: str
    photo: str
    unmeasured: bool


def typed_of(record: StockPart, preferences: Preferences) -> dict[str, str]:
    """A part's boxes: as they were typed, in the reader's decimal mark, else as long as they are."""
    data, item = kept_of(record), item_of(record)
    typed = data.get("typed")
    boxes = {key: str(value) for key, value in typed.items()} if isinstance(typed, dict) else {}
    mark = str(data.get("mark", "."))
    if mark != preferences.decimal_mark:
        boxes = {key: _other_mark(key, text) for key, text in boxes.items()}
    if isinstance(item, StockSheave):
        known = {
            "number": item.number,
            "section": item.section,
            "outside": show.length(item.outside, preferences),
            "bore": bore_shown(item.bore, preferences),
            "make": "cast" if item.cast else "",
            "price": _price(item.price, preferences),
        }
    elif isinstance(item, StockBelt):
        known = {"number": item.number, "belt": item.belt.name, "price": _price(item.price, preferences)}
    else:
        known = {"name": record.name}
    own = {"count": str(record.count), "part": record.maker_part, "place": record.place}
    if boxes.get("datum") or boxes.get("outside"):
        known.pop("outside", None)
    return known | boxes | own


def part_row(record: StockPart, preferences: Preferences) -> PartRow:
    """One part as the table shows it."""
    boxes, item = typed_of(record, preferences), item_of(record)
    what, size = record.name, boxes.get("size", "")
    if isinstance(item, StockSheave):
        what, size = item.section, boxes.get("outside") or show.length(item.outside, preferences)
    elif isinstance(item, StockBelt):
        what, size = item.belt.name, show.length(item.belt.length, preferences)
    return PartRow(
        record,
        boxes.get("number", ""),
        what,
        size,
        boxes.get("bore", ""),
        boxes.get("price", ""),
        str(kept_of(record).get("photo", "")),
        record.kind in (PULLEY, BELT) and item is None,
    )


def beside(record: StockPart, preferences: Preferences) -> list[tuple[str, dict[str, str]]]:
    """The next sizes sold, smaller and larger: what to call each, and the boxes it would be entered with."""
    item = item_of(record)
    found: list[tuple[str, dict[str, str]]] = []
    if isinstance(item, StockSheave):
        for direction in (-1, 1):
            size = next_sold(
                item.outside + direction * A_LITTLE,
                section=item.section,
                offset=item.offset,
                direction=direction,
            )
            if size is not None:
                words = show.length(size, preferences)
                boxes = {
                    "section": item.section,
                    "outside": words,
                    "bore": bore_shown(item.bore, preferences),
                }
                found.append((f"{item.section} {words}", boxes))
    elif isinstance(item, StockBelt):
        found = [(name, {"belt": name}) for name in belts_beside(item.belt)]
    return found


def _price(price: float, preferences: Preferences) -> str:
    return in_mark(f"{price:.2f}", preferences) if price else ""


def _other_mark(key: str, text: str) -> str:
    return text if key in ("number", "belt", "part", "place", "name") else text.translate(_SWAP)


_SWAP = str.maketrans(".,", ",.")
