"""Read one side of a ±: a number and its unit, two such pairs, or a count per cycle."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType

from snath.quantities.message import Dimension, Message
from snath.quantities.numbers import DecimalMark, leading_number
from snath.quantities.unit_table import UNITS, Unit

_COMPOUND = {("ft", "in"), ("lb", "oz"), ("h", "min"), ("min", "s")}  # large unit, then small
_SIGNED: tuple[Dimension, ...] = ("temperature", "angle", "wind")
_HERTZ = re.compile(r"hz(?: \(?(shaft|electrical|firing)\)?)?")
SHAFT_ONLY: Mapping[str, Fraction] = MappingProxyType({"shaft": Fraction(1)})


class Unreadable(Exception):
    """Why a text cannot be read; nothing where the examples say enough."""

    def __init__(self, why: Message | None = None) -> None:
        self.why = why
        super().__init__(why)


@dataclass(frozen=True, slots=True)
class Reader:
    """Reads for one dimension, decimal mark and, where a form prints one, default unit."""

    dimension: Dimension
    mark: DecimalMark
    default_unit: str | None
    turns_per_cycle: Mapping[str, Fraction]

    def whole(self, line: str) -> tuple[Fraction, Unit, str]:
        """Value, unit and the unit's name of one side of the ±."""
        number, rest = self.number(line)
        if not rest:
            if self.default_unit is None:
                raise Unreadable(Message("fault.unit-missing"))
            return number, UNITS[self.dimension][self.default_unit], self.default_unit
        if (found := self.unit(rest)) is not None:
            return number, *found
        return self.compound(number, rest)

    def with_tolerance(self, left: str, right: str) -> tuple[tuple[Fraction, Unit, str], Fraction]:
        """The value, and the half width in the same unit."""
        number, rest = self.number(right)
        if number < 0:
            raise Unreadable(Message("fault.tolerance-negative"))
        if rest == "%":
            value = self.whole(left)
            return value, abs(value[0]) * number / 100
        _, left_unit = self.number(left)
        value = self.whole(left if left_unit else f"{left} {rest}")
        if not rest:
            return value, number
        tolerance, unit, _ = self.whole(right)
        return value, tolerance * unit.factor / value[1].factor

    def number(self, line: str) -> tuple[Fraction, str]:
        sign = 1
        if line.startswith("-"):
            if self.dimension not in _SIGNED:
                raise Unreadable(Message("fault.negative"))
            sign, line = -1, line[1:].lstrip()
        found = leading_number(line, decimal_mark=self.mark)
        if found is None:
            raise Unreadable()
        return sign * found[0], found[1]

    def unit(self, word: str) -> tuple[Unit, str] | None:
        spoken = spelling(word)
        if self.dimension == "rotation" and (match := _HERTZ.fullmatch(spoken)):
            return self.hertz(match.group(1)), "rpm"
        for name, unit in UNITS[self.dimension].items():
            if spoken == spelling(name) or spoken in unit.also:
                return unit, name
        return None

    def hertz(self, kind: str | None) -> Unit:
        if kind is None:
            raise Unreadable(Message("fault.hertz-of-what"))
        if kind not in self.turns_per_cycle:
            known = tuple(f"Hz {known}" for known in self.turns_per_cycle)
            raise Unreadable(Message("fault.hertz-not-known", kind=kind, known=known))
        return Unit(self.turns_per_cycle[kind], 2)

    def compound(self, number: Fraction, rest: str) -> tuple[Fraction, Unit, str]:
        """A large unit with a smaller one after it: 1 ft 9 in, 1' 9 3/4", 2 lb 3 oz."""
        match = re.match(r"([^0-9]+?)\.?[ -]?(?=[0-9.,])", rest)
        large = self.unit(match.group(1)) if match else None
        if match is None or large is None:
            raise Unreadable()
        small_number, small_word = self.number(rest[match.end() :])
        small = self.unit(small_word) if small_word else None
        if small is None or (large[1], small[1]) not in _COMPOUND or number.denominator != 1:
            raise Unreadable()
        if small_number * small[0].factor >= large[0].factor:
            raise Unreadable(Message("fault.less-than-one", small=small[1], large=large[1]))
        return number * large[0].factor / small[0].factor + small_number, small[0], small[1]


def spelling(word: str) -> str:
    """A unit word as it is looked up: lower case, dots, hyphens and dots of multiplication as spaces."""
    word = word.strip().rstrip(".").lower()
    if re.fullmatch(r"[a-z]+[.·*-][a-z]+", word):
        return re.sub(r"[.·*-]", " ", word)
    return word
