"""SI values as this person reads them on screen: their unit first, the other one beside it where it helps."""

from dataclasses import dataclass

from django.utils.translation import pgettext

from snath.quantities.numbers import in_mark
from snath.quantities.units import Rounding, in_unit, show, show_inches
from snath.shop.bench.preferences import Preferences
from snath.shop.pictures.figures import spread_decimals

RULE_MARK = 1 / 64  # inches; a length this close to a mark on a rule is printed as that fraction
CLOSE = 0.0006  # inches


@dataclass(frozen=True, slots=True)
class Shown:
    """Digits and unit apart, because a page sets them in different sizes."""

    digits: str
    unit: str

    def __str__(self) -> str:
        return f"{self.digits} {self.unit}"


def unit_word(unit: str) -> str:
    """The unit as the reader's language writes it; the symbols of SI are the same in all."""
    words = {
        "rpm": pgettext("unit", "rpm"),
        "in": pgettext("unit", "in"),
        "ft/min": pgettext("unit", "ft/min"),
        "mph": pgettext("unit", "mph"),
    }
    return words.get(unit, unit)


def speed(
    rev_s: float | None, preferences: Preferences, *, round: Rounding = "nearest", digits: int | None = None
) -> Shown | None:
    """A shaft speed; nothing stays nothing."""
    if rev_s is None:
        return None
    return _apart(show(rev_s, "rpm", round=round, digits=digits, decimal_mark=preferences.decimal_mark))


def spread(rev_s: float | None, preferences: Preferences) -> Shown | None:
    """The doubt of a shaft speed, to the digits that pictures and papers print; nothing stays nothing."""
    return None if rev_s is None else speed(rev_s, preferences, round="up", digits=spread_decimals(rev_s))


def length(metres: float, preferences: Preferences) -> str:
    """A length in this person's units."""
    return inches(metres, preferences) if preferences.units == "inch" else millimetres(metres, preferences)


def typed_length(metres: float, preferences: Preferences) -> str:
    """A length as this person would type it, with its unit; never rounded by more than a fifth of a millimetre."""
    sign = "-" if metres < 0 else ""
    if preferences.units == "inch":
        value = in_unit(abs(metres), "in")
        on_a_mark = abs(value - round(value * 64) / 64) < CLOSE
        if on_a_mark:
            return sign + inches(abs(metres), preferences).replace(unit_word("in"), "in")
        return f"{sign}{in_mark(f'{value:.3f}', preferences.decimal_mark)} in"
    return f"{sign}{in_mark(f'{abs(metres) * 1000 + CLOSE:.1f}'.removesuffix('.0'), preferences.decimal_mark)} mm"


def length_both(metres: float, preferences: Preferences) -> str:
    """A length in this person's units with the other beside it."""
    pair = (inches(metres, preferences), millimetres(metres, preferences))
    first, second = pair if preferences.units == "inch" else pair[::-1]
    return f"{first} ({second})"


def inches(metres: float, preferences: Preferences) -> str:
    """As a fraction where it lies on a mark of the rule, else as a decimal."""
    value = in_unit(metres, "in")
    on_a_mark = abs(value - round(value / RULE_MARK) * RULE_MARK) < CLOSE
    if on_a_mark:
        return str(_apart(show_inches(metres, denominator=64)))
    return str(_apart(show(metres, "in", decimal_mark=preferences.decimal_mark)))


def millimetres(metres: float, preferences: Preferences) -> str:
    """With one decimal, or none where it is a whole number."""
    whole = abs(metres * 1000 - round(metres * 1000)) < 0.005
    return show(metres, "mm", digits=0 if whole else 1, decimal_mark=preferences.decimal_mark)


def surface(metres_per_second: float, preferences: Preferences) -> str:
    """A surface speed in both of the units in which limits are printed."""
    pair = tuple(
        str(_apart(show(metres_per_second, unit, round="nearest", decimal_mark=preferences.decimal_mark)))
        for unit in ("ft/min", "m/s")
    )
    first, second = pair if preferences.units == "inch" else pair[::-1]
    return f"{first} ({second})"


def surface_alone(metres_per_second: float, preferences: Preferences) -> str:
    """A surface speed in this person's unit only, where room is short."""
    return in_words(metres_per_second, "ft/min" if preferences.units == "inch" else "m/s", preferences)


def in_words(value: float, unit: str, preferences: Preferences) -> str:
    """Any quantity in one named unit."""
    return str(_apart(show(value, unit, decimal_mark=preferences.decimal_mark)))


def _apart(text: str) -> Shown:
    digits, _, unit = text.rpartition(" ")
    return Shown(digits, unit_word(unit))
