"""Work out once, from the orders, what is to be listened for."""

from dataclasses import dataclass

from snath.formulas.signals.aliases import SINGLE
from snath.formulas.signals.candidates import Driven, Orders


@dataclass(frozen=True, slots=True)
class Plan:
    """What to listen for, worked out once from the orders.

    Attributes
    ----------
    turns, firings : int, tuple of float
        The working cycle; that of a single where it is unknown, whose comb holds every other.
    low, high : float
        Range of engine speed. [rev/s]
    driven, direct : tuple of Driven
        Parts whose tones stand beside the engine's orders, and parts whose tones are engine orders.
    """

    turns: int
    firings: tuple[float, ...]
    low: float
    high: float
    driven: tuple[Driven, ...]
    direct: tuple[Driven, ...]


def plan_of(orders: Orders) -> Plan:
    """The plan for some orders."""
    known = orders.cycle_turns is not None and orders.firings is not None
    turns = orders.cycle_turns if known and orders.cycle_turns else SINGLE.cycle_turns
    firings = orders.firings if known and orders.firings else SINGLE.firings
    high = orders.rev_s_high if known else 2 * orders.rev_s_high
    direct = tuple(
        part
        for part in orders.driven
        if part.ratio_high == part.ratio_low
        and abs(part.ratio_low * turns - round(part.ratio_low * turns)) < 0.02
    )
    driven = tuple(part for part in orders.driven if part not in direct)
    return Plan(turns, firings, orders.rev_s_low, high, driven, direct)
