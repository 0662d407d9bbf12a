"""Find the sheaves that may sit at each place of a frame and the belts that may run on it."""

from snath.decisions.drive.frame import Frame, Place
from snath.decisions.drive.positions import BeltChoice, Choice
from snath.decisions.drive.stock import Stock, StockSheave
from snath.decisions.machine.parts import CRANKSHAFT, Coupling
from snath.formulas.belts.sections import groove_of, groove_offset, has_offset
from snath.quantities.errors import InputError
from snath.quantities.message import Message


def sheave_choices(place: Place, couplings: dict[str, Coupling], stock: Stock) -> tuple[Choice, ...]:
    """What may sit at a place: what is there first, then what stock has for it.

    Parameters
    ----------
    place : Place
    couplings : dict of str to Coupling
        Of the belt's driven shafts, by shaft.
    stock : Stock

    Raises
    ------
    InputError
        If the ratio of what is there cannot be told from its diameter.
    """
    if not place.shaft:
        return (Choice(place.outside, 0.0),)
    maker = _maker_part(place, couplings)
    if place.bottomed:
        raise InputError(place.name, Message("drive.shiny-bottom"), Message("drive.no-ratio-from-diameter"))
    unseen = 0.0 if place.ride else _deepest(place, couplings)
    now = Choice(place.outside, _offset(place), place.section, part=maker, ride=place.ride, unseen=unseen)
    ranks = _stock_order(stock)
    return (now, *(_choice(s, maker, ranks[s.number]) for s in stock.sheaves if _may_sit(s, place)))


def _may_sit(sheave: StockSheave, place: Place) -> bool:
    return not place.bore or sheave.bore == place.bore


def _choice(sheave: StockSheave, maker: str, rank: int) -> Choice:
    return Choice(
        outside=sheave.outside,
        offset=sheave.offset,
        section=sheave.section,
        rank=rank,
        number=sheave.number,
        part=sheave.part,
        original=bool(maker) and sheave.part == maker,
        price=sheave.price,
        changed=True,
        count=sheave.count,
        cast=sheave.cast,
    )


def _deepest(place: Place, couplings: dict[str, Coupling]) -> float:
    """How deep a belt may lie in the grooves of a place, as the sheet has it. [m]"""
    parts = (
        [c.parts[0] for c in couplings.values()]
        if place.shaft == CRANKSHAFT
        else [c.parts[1] for shaft, c in couplings.items() if shaft == place.shaft]
    )
    return max((depth.value for part in parts for depth in part.sunk), default=0.0)


def _maker_part(place: Place, couplings: dict[str, Coupling]) -> str:
    """The machine maker's number for the sheave at a place; empty where the sheet has none."""
    if place.shaft == CRANKSHAFT:
        return next((c.parts[0].maker_part for c in couplings.values() if c.parts[0].maker_part), "")
    coupling = couplings.get(place.shaft)
    return coupling.parts[1].maker_part if coupling else ""


def _offset(place: Place) -> float:
    if place.offset is not None:
        return place.offset
    if not has_offset(place.section):
        allowed = Message("drive.give-datum-offset")
        raise InputError(place.name, f"section {place.section}", allowed)
    return groove_offset(place.section)


def belt_choices(frame: Frame, stock: Stock) -> tuple[BeltChoice, ...]:
    """The belt that is on, then every belt of stock that fits a groove there could be."""
    part, ranks = frame.belt.part, _stock_order(stock)
    found = [BeltChoice(frame.belt)]
    sections = {s.section for s in stock.sheaves} | {groove_of(frame.belt.section)}
    for item in stock.belts:
        if groove_of(item.belt.section) in sections:
            original = bool(part) and item.belt.part == part
            found.append(
                BeltChoice(item.belt, ranks[item.number], item.number, original, item.price, changed=True)
            )
    return tuple(found)


def _stock_order(stock: Stock) -> dict[str, int]:
    """Stock numbers in the order a person reads them: 9 before 10, A9 before A10."""
    numbers = [s.number for s in stock.sheaves] + [b.number for b in stock.belts]
    return {number: rank for rank, number in enumerate(sorted(set(numbers), key=_natural))}


def _natural(number: str) -> tuple[tuple[bool, int, str], ...]:
    parts, digits = [], ""
    for mark in f"{number}\0":
        if mark.isdecimal():
            digits += mark
            continue
        if digits:
            parts.append((False, int(digits), ""))
            digits = ""
        parts.append((True, 0, mark))
    return tuple(parts)
