"""List what can be ordered where the shelf does not hold it: sizes the trade sells, as a second stock."""

from collections.abc import Iterator

from snath.decisions.drive.belt import Belt, belt_by_name
from snath.decisions.drive.frame import Frame
from snath.decisions.drive.stock import Stock, StockBelt, StockSheave
from snath.decisions.window.sold import R40, sizes_sold
from snath.formulas.belts.sections import groove_of, groove_offset, has_offset
from snath.quantities.errors import InputError
from snath.quantities.units import show_inches

ORDER = "order "  # begins the number of what is not on the shelf
SMALLEST, LARGEST = 0.045, 0.26  # m outside; what decks and belt drives of this kind carry
PIECES = 12  # of one size: as many as a route has pulleys
AROUND = 0.3  # share of the belt's own length within which belts are looked for


def is_order(number: str) -> bool:
    """Whether a stock number stands for something to be ordered."""
    return number.startswith(ORDER)


def sold_for(frame: Frame) -> Stock:
    """Sheaves and belts of this frame's section in the sizes that are sold, none of them on the shelf.

    Sections without a page for their groove have no sheaves here: their ratio could not be told.
    """
    section = groove_of(frame.belt.section)
    sheaves = tuple(_sheaves(section, _bores(frame))) if has_offset(section) else ()
    return Stock(sheaves, tuple(_belts(frame.belt)))


def _bores(frame: Frame) -> tuple[str, ...]:
    return tuple(dict.fromkeys(p.bore for p in frame.places if p.shaft))


def _sheaves(section: str, bores: tuple[str, ...]) -> Iterator[StockSheave]:
    offset = groove_offset(section)
    for outside in sizes_sold(section, offset=offset):
        if not SMALLEST <= outside <= LARGEST:
            continue
        for bore in bores:
            number = f"{ORDER}{section} {show_inches(outside, denominator=64)} {bore}".strip()
            yield StockSheave(number, PIECES, section, outside, offset, bore, 0.0, False, 1, "", 0.0, "")


def _belts(on: Belt) -> Iterator[StockBelt]:
    for number in belt_numbers(on.section):
        try:
            belt = belt_by_name(f"{on.section}{number}")
        except InputError:
            return  # past the end of the rule
        if abs(belt.length / on.length - 1) <= AROUND:
            yield StockBelt(f"{ORDER}{belt.name}", belt, 0.0, "")


def belt_numbers(section: str) -> Iterator[int]:
    """Numbers belts of a section are sold under: common practice, no source.

    Classical ones by the inch, light ones (tenths of an inch outside) by the inch too, narrow metric ones by the
    R40 series in mm; narrow inch ones (tenths of an inch) by the half inch.
    """
    if section.startswith("SP"):
        yield from (size * 10 for size in R40 if size >= 63)
    elif section in ("3L", "4L", "5L"):
        yield from range(160, 1200, 10)
    elif section[:2] in ("3V", "5V", "8V"):
        yield from range(250, 2000, 5)
    else:
        yield from range(16, 211)
