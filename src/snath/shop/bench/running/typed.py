"""Saved values as somebody would type them again, in their own unit and marks."""

from snath.quantities.measured import Measured
from snath.quantities.units import show
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.show import unit_word

RECTANGLE = 3**0.5  # half width over standard uncertainty


def typed(value: float | None, unit: str, preferences: Preferences, *, digits: int) -> str:
    """A value with its unit; nothing for nothing."""
    if value is None:
        return ""
    return show(value, unit, digits=digits, decimal_mark=preferences.decimal_mark).replace(
        unit, unit_word(unit)
    )


def typed_speed(speed: Measured | None, preferences: Preferences) -> str:
    """A speed with its ±, where it has one."""
    if speed is None:
        return ""
    text = typed(speed.value, "rpm", preferences, digits=1)
    return f"{text} ± {typed(speed.u * RECTANGLE, 'rpm', preferences, digits=1)}" if speed.u else text


def bare(value: float, preferences: Preferences) -> str:
    """A number without a unit."""
    return f"{value:g}".replace(".", preferences.decimal_mark)
