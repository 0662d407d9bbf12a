"""Saved values as somebody would type them again, in their own unit and marks."""

from snath.quantities.measured import Measured
from snath.quantities.units import show
from snath.shop.bench.liking import Liking
from snath.shop.bench.show import unit_word

RECTANGLE = 3**0.5  # half width over standard uncertainty


def typed(value: float | None, unit: str, liking: Liking, *, digits: int) -> str:
    """A value with its unit; nothing for nothing."""
    if value is None:
        return ""
    return show(value, unit, digits=digits, decimal_mark=liking.decimal_mark).replace(unit, unit_word(unit))


def typed_speed(speed: Measured | None, liking: Liking) -> str:
    """A speed with its ±, where it has one."""
    if speed is None:
        return ""
    text = typed(speed.value, "rpm", liking, digits=1)
    return f"{text} ± {typed(speed.u * RECTANGLE, 'rpm', liking, digits=1)}" if speed.u else text


def bare(value: float, liking: Liking) -> str:
    """A number without a unit."""
    return f"{value:g}".replace(".", liking.decimal_mark)
