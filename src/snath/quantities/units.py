"""What did the shop write, and how is a number printed back? Text with units outside, SI inside."""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

from snath.quantities.constants import (
    FOOT,
    FOOT_POUND,
    HORSEPOWER,
    HOUR,
    INCH,
    METRIC_HORSEPOWER,
    MILE,
    MINUTE,
    OUNCE,
    POUND,
    POUND_FORCE,
    STANDARD_GRAVITY,
)
from snath.quantities.errors import InputError
from snath.quantities.measured import Line, Measured
from snath.quantities.numbers import DecimalMark, in_mark, leading_number, mark_hint, plain

Dimension = Literal[
    "length", "speed", "rotation", "frequency", "torque", "energy", "mass", "time", "angle", "power", "force",
    "temperature", "turns",
]  # fmt: skip
Rounding = Literal["nearest", "down", "up"]


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: its size in SI, how many decimals it is usually printed with, and other ways to write it."""

    factor: Fraction
    decimals: int
    also: tuple[str, ...] = ()
    offset: Fraction = Fraction(0)  # added after the factor; temperatures only


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value in SI, the unit it was written in, and the text itself."""

    measured: Measured
    unit: str
    text: str


_TORQUE = {
    "N m": Unit(Fraction(1), 1, ("nm", "newton metre", "newton meter")),
    "ft lbf": Unit(FOOT_POUND, 1, ("ft lb", "lb ft", "lbf ft", "ft lbs", "foot pound", "foot pounds")),
    "in lbf": Unit(FOOT_POUND / 12, 0, ("in lb", "lb in", "lbf in", "in lbs")),
}
UNITS: Mapping[Dimension, Mapping[str, Unit]] = MappingProxyType(
    {
        "length": {
            "in": Unit(INCH, 3, ('"', "''", "inch", "inches", "zoll", "pulg", "pulgada", "pulgadas")),
            "mm": Unit(Fraction(1, 1000), 1, ("millimetre", "millimeter", "millimetres", "millimeters")),
            "cm": Unit(Fraction(1, 100), 2, ("centimetre", "centimeter", "centimetres", "centimeters")),
            "m": Unit(Fraction(1), 3, ("metre", "meter", "metres", "meters")),
            "ft": Unit(FOOT, 3, ("'", "foot", "feet")),
        },
        "speed": {
            "ft/min": Unit(
                FOOT / MINUTE, 0, ("fpm", "sfpm", "sfm", "feet per minute", "feet/min", "ft per min")
            ),
            "m/s": Unit(Fraction(1), 2, ("mps", "metres per second", "meters per second")),
            "mph": Unit(MILE / HOUR, 1, ("mi/h", "miles per hour")),
            "km/h": Unit(1000 / HOUR, 1, ("kph", "kmh", "kmph")),
            "ft/s": Unit(FOOT, 1, ("fps", "feet per second")),
            "m/min": Unit(1 / MINUTE, 1),
        },
        "rotation": {
            "rpm": Unit(
                1 / MINUTE,
                0,
                (
                    "r/min",
                    "rev/min",
                    "1/min",
                    "/min",
                    "min-1",
                    "min^-1",
                    "min⁻¹",
                    "u/min",
                    "r.p.m",
                    "revs/min",
                ),
            ),
            "rev/s": Unit(Fraction(1), 3, ("r/s", "rps", "1/s", "revs/s", "s-1", "s^-1")),
        },
        "frequency": {
            "Hz": Unit(Fraction(1), 2, ("hertz", "cycles/s", "cps")),
            "kHz": Unit(Fraction(1000), 4),
        },
        "torque": _TORQUE,
        "energy": {
            "J": Unit(Fraction(1), 1, ("joule", "joules", "n m", "nm")),
            "kJ": Unit(Fraction(1000), 3),
            "ft lbf": _TORQUE["ft lbf"],
        },
        "mass": {
            "g": Unit(Fraction(1, 1000), 1, ("gram", "grams", "gr")),
            "kg": Unit(Fraction(1), 3, ("kilogram", "kilograms")),
            "lb": Unit(POUND, 2, ("lbs", "pound", "pounds", "lbm")),
            "oz": Unit(OUNCE, 2, ("ounce", "ounces")),
        },
        "time": {
            "s": Unit(Fraction(1), 2, ("sec", "secs", "second", "seconds")),
            "ms": Unit(Fraction(1, 1000), 1),
            "min": Unit(MINUTE, 2, ("minute", "minutes", "mins")),
            "h": Unit(HOUR, 2, ("hour", "hours", "hr", "hrs")),
        },
        "angle": {
            "deg": Unit(Fraction(math.pi) / 180, 1, ("°", "degree", "degrees", "grad")),
            "rad": Unit(Fraction(1), 4),
        },
        "turns": {
            "turns": Unit(Fraction(1), 2, ("turn", "rev", "revs", "revolutions", "revolution")),
            "deg": Unit(Fraction(1, 360), 1, ("°", "degree", "degrees")),
        },
        "power": {
            "kW": Unit(Fraction(1000), 2),
            "W": Unit(Fraction(1), 0, ("watt", "watts")),
            "hp": Unit(HORSEPOWER, 1, ("bhp", "horsepower")),
            "PS": Unit(METRIC_HORSEPOWER, 1, ("cv", "metric hp")),
        },
        "force": {
            "N": Unit(Fraction(1), 1, ("newton", "newtons")),
            "kN": Unit(Fraction(1000), 3),
            "lbf": Unit(POUND_FORCE, 1, ("lb", "lbs", "pounds")),
            "kgf": Unit(STANDARD_GRAVITY, 1, ("kp",)),
        },
        "temperature": {
            "°C": Unit(Fraction(1), 1, ("c", "deg c", "degc"), Fraction("273.15")),
            "°F": Unit(Fraction(5, 9), 1, ("f", "deg f", "degf"), Fraction("459.67") * 5 / 9),
            "K": Unit(Fraction(1), 2, ("kelvin",)),
        },
    }
)
EXAMPLES: Mapping[Dimension, str] = MappingProxyType(
    {
        "length": "a length with its unit, such as 21 3/4 in, 1 ft 9 in or 552.5 mm",
        "speed": "a surface speed with its unit, such as 19,000 ft/min, 96.5 m/s or 215 mph",
        "rotation": "a shaft speed with its unit, such as 3,300 rpm or 55 rev/s",
        "frequency": "a frequency with its unit, such as 62.5 Hz",
        "torque": "a torque with its unit, such as 58 ft lbf or 79 N m",
        "energy": "an energy with its unit, such as 79 J or 58 ft lbf",
        "mass": "a mass with its unit, such as 850 g, 0.85 kg or 1 lb 14 oz",
        "time": "a time with its unit, such as 3.0 s",
        "angle": "an angle with its unit, such as 15 deg",
        "turns": "turns or degrees with their unit, such as 10 1/4 turns or 90 deg",
        "power": "a power with its unit, such as 3.7 kW or 5 hp",
        "force": "a force with its unit, such as 222 N or 50 lbf",
        "temperature": "a temperature with its unit, such as 20 °C or 68 °F",
    }
)
_COMPOUND = {("ft", "in"), ("lb", "oz"), ("h", "min"), ("min", "s")}  # large unit, then small
_SIGNED: tuple[Dimension, ...] = ("temperature", "angle")
_HERTZ = re.compile(r"hz(?: \(?(shaft|electrical|firing)\)?)?")
SHAFT_ONLY: Mapping[str, Fraction] = MappingProxyType({"shaft": Fraction(1)})


def parse(
    text: object,
    *,
    dimension: Dimension,
    field: str,
    decimal_mark: DecimalMark = ".",
    default_unit: str | None = None,
    turns_per_cycle: Mapping[str, Fraction] = SHAFT_ONLY,
) -> Measured:
    """What was written, in SI, with its ± as a budget line; see `parse_quantity`."""
    return parse_quantity(
        text,
        dimension=dimension,
        field=field,
        decimal_mark=decimal_mark,
        default_unit=default_unit,
        turns_per_cycle=turns_per_cycle,
    ).measured


def parse_quantity(
    text: object,
    *,
    dimension: Dimension,
    field: str,
    decimal_mark: DecimalMark = ".",
    default_unit: str | None = None,
    turns_per_cycle: Mapping[str, Fraction] = SHAFT_ONLY,
) -> Quantity:
    """What was written, read strictly.

    Parameters
    ----------
    text : str
        A number and its unit, optionally "± " and a second number with or without unit, or with %.
    dimension : str
        What it must be.
    field : str
        Its name for messages and for the source of its uncertainty.
    decimal_mark : str
        "." or ","; the other one may only part groups of three digits.
    default_unit : str or None
        Unit of a bare number, where a form prints the unit beside the box; None refuses bare numbers.
    turns_per_cycle : mapping
        For a rotation written in "Hz shaft", "Hz electrical" or "Hz firing": turns in one such cycle.
        Kinds that are missing are refused.

    Returns
    -------
    Quantity
        The ± is taken as the half width of a rectangle, u = a / sqrt 3 (JCGM 100 4.3.7, from memory).

    Raises
    ------
    InputError
        For anything else, with what would be accepted.
    """
    allowed = f"must be {in_mark(EXAMPLES[dimension], decimal_mark)}"
    line = plain(text, field=field, allowed=allowed)
    parts = re.split(r" ?(?:±|\+/-|\+-) ?", line)
    reader = _Reader(dimension, decimal_mark, default_unit, turns_per_cycle)
    try:
        if len(parts) > 2:
            raise _Unreadable("it has more than one ±")
        if len(parts) == 1:
            value, unit, name = reader.whole(parts[0])
            half = Fraction(0)
        else:
            (value, unit, name), half = reader.with_tolerance(parts[0], parts[1])
    except _Unreadable as reason:
        why = f"; {reason}" if str(reason) else ""
        raise InputError(field, text, allowed + why + mark_hint(line, decimal_mark)) from None
    si = float(value * unit.factor + unit.offset)
    u = float(half * unit.factor) / math.sqrt(3)
    lines = (Line(f"{field} as measured", u, None, "rectangular"),) if u > 0 else ()
    return Quantity(Measured(si, lines), name, str(text))


class _Unreadable(Exception):
    """Why a text cannot be read, as the end of a message; empty where the examples say enough."""


@dataclass(frozen=True, slots=True)
class _Reader:
    dimension: Dimension
    mark: DecimalMark
    default_unit: str | None
    turns_per_cycle: Mapping[str, Fraction]

    def whole(self, line: str) -> tuple[Fraction, Unit, str]:
        """Value, unit and the unit's name of one side of the ±."""
        number, rest = self.number(line)
        if not rest:
            if self.default_unit is None:
                raise _Unreadable("the unit is missing")
            return number, UNITS[self.dimension][self.default_unit], self.default_unit
        if (found := self.unit(rest)) is not None:
            return number, *found
        return self.compound(number, rest)

    def with_tolerance(self, left: str, right: str) -> tuple[tuple[Fraction, Unit, str], Fraction]:
        """The value, and the half width in the same unit."""
        number, rest = self.number(right)
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
        if self.dimension in _SIGNED and line.startswith("-"):
            sign, line = -1, line[1:].lstrip()
        found = leading_number(line, decimal_mark=self.mark)
        if found is None:
            raise _Unreadable("")
        return sign * found[0], found[1]

    def unit(self, word: str) -> tuple[Unit, str] | None:
        spoken = spelling(word)
        if self.dimension == "rotation" and (match := _HERTZ.fullmatch(spoken)):
            return self.hertz(match.group(1)), "Hz " + match.group(1)
        for name, unit in UNITS[self.dimension].items():
            if spoken == spelling(name) or spoken in unit.also:
                return unit, name
        return None

    def hertz(self, kind: str | None) -> Unit:
        if kind is None:
            raise _Unreadable("Hz of what: write Hz shaft, Hz electrical or Hz firing")
        if kind not in self.turns_per_cycle:
            known = " or ".join(f"Hz {known}" for known in self.turns_per_cycle)
            raise _Unreadable(f"what one {kind} cycle is in turns is not known here; {known} is")
        return Unit(self.turns_per_cycle[kind], 2)

    def compound(self, number: Fraction, rest: str) -> tuple[Fraction, Unit, str]:
        """A large unit with a smaller one after it: 1 ft 9 in, 1' 9 3/4", 2 lb 3 oz."""
        match = re.match(r"([^0-9]+?)\.?[ -]?(?=[0-9.,])", rest)
        large = self.unit(match.group(1)) if match else None
        if match is None or large is None:
            raise _Unreadable("")
        small_number, small_word = self.number(rest[match.end() :])
        small = self.unit(small_word) if small_word else None
        if small is None or (large[1], small[1]) not in _COMPOUND or number.denominator != 1:
            raise _Unreadable("")
        if small_number * small[0].factor >= large[0].factor:
            raise _Unreadable(f"{small[1]} must come to less than 1 {large[1]}")
        return number * large[0].factor / small[0].factor + small_number, small[0], small[1]


def spelling(word: str) -> str:
    """A unit word as it is looked up: lower case, dots, hyphens and dots of multiplication as spaces."""
    word = word.strip().rstrip(".").lower()
    if re.fullmatch(r"[a-z]+[.·*-][a-z]+", word):
        return re.sub(r"[.·*-]", " ", word)
    return word


def show(
    value: float,
    unit: str,
    *,
    digits: int | None = None,
    round: Rounding = "nearest",
    decimal_mark: DecimalMark = ".",
    group: bool = True,
) -> str:
    """An SI value in the user's unit: ceilings are rounded down, floors up.

    Parameters
    ----------
    value : float
        In SI.
    unit : str
        Name as in `UNITS`, for instance "rpm".
    digits : int or None
        Decimals; None takes what is usual for the unit.
    round : str
        nearest, down or up.
    decimal_mark : str
        "." or ",".
    group : bool
        Part the thousands with the other mark.

    Returns
    -------
    str
        For instance "3,298 rpm".

    Raises
    ------
    InputError
        When the value is not finite or the unit unknown.
    """
    chosen = unit_named(unit)
    decimals = chosen.decimals if digits is None else digits
    steps = rounded((_finite(value) - chosen.offset) / chosen.factor * 10**decimals, round)
    whole, rest = divmod(abs(steps), 10**decimals)
    text = f"{whole:,}" if group else str(whole)
    if decimals:
        text += f".{rest:0{decimals}d}"
    if decimal_mark == ",":
        text = text.translate(str.maketrans(".,", ",."))
    return f"{'-' if steps < 0 else ''}{text} {unit}"


def show_inches(value: float, *, denominator: int = 16, round: Rounding = "nearest") -> str:
    """A length as a rule shows it: 0.55245 m is "21 3/4 in"."""
    steps = rounded(_finite(value) / INCH * denominator, round)
    whole, rest = divmod(abs(steps), denominator)
    part = Fraction(rest, denominator)
    words = [str(whole)] if whole or not rest else []
    if rest:
        words.append(f"{part.numerator}/{part.denominator}")
    return f"{'-' if steps < 0 else ''}{' '.join(words)} in"


def _finite(value: float) -> Fraction:
    if not math.isfinite(value):
        raise InputError("value", value, "must be a finite number to be printed")
    return Fraction(value)


def rounded(exactly: Fraction, how: Rounding) -> int:
    """To a whole number; what lies within float noise of one counts as that one."""
    nearest = math.floor(exactly + Fraction(1, 2))
    if how == "nearest" or abs(exactly - nearest) <= Fraction(1, 10**12) * max(1, abs(nearest)):
        return nearest
    return math.floor(exactly) if how == "down" else math.ceil(exactly)


def unit_named(name: str) -> Unit:
    """The unit of that name, whatever it measures."""
    for units in UNITS.values():
        if name in units:
            return units[name]
    names = sorted({known for units in UNITS.values() for known in units})
    raise InputError("unit", name, f"must be one of {', '.join(names)}")


def in_unit(value: float, unit: str) -> float:
    """An SI value as a plain number of that unit."""
    chosen = unit_named(unit)
    return float((Fraction(value) - chosen.offset) / chosen.factor)


def rpm(rev_s: float) -> float:
    """Turns a minute of turns a second."""
    return rev_s * 60


def from_rpm(turns_a_minute: float) -> float:
    """Turns a second of turns a minute."""
    return turns_a_minute / 60
