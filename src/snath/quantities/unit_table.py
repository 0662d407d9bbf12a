"""List every unit a shop writes: its size in SI and its other spellings."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType

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
from snath.quantities.message import Dimension, Message


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: its size in SI, how many decimals it is usually printed with, and other ways to write it."""

    factor: Fraction
    decimals: int
    also: tuple[str, ...] = ()
    offset: Fraction = Fraction(0)  # added after the factor; temperatures only


_TORQUE = {
    "N m": Unit(Fraction(1), 1, ("nm", "newton metre", "newton meter")),
    "ft lbf": Unit(FOOT_POUND, 1, ("ft lb", "lb ft", "lbf ft", "ft lbs", "foot pound", "foot pounds")),
    "in lbf": Unit(FOOT_POUND / 12, 0, ("in lb", "lb in", "lbf in", "in lbs")),
}
_METRES_PER_SECOND = Unit(Fraction(1), 2, ("mps", "metres per second", "meters per second"))
_MILES_PER_HOUR = Unit(MILE / HOUR, 1, ("mi/h", "miles per hour"))
_KILOMETRES_PER_HOUR = Unit(1000 / HOUR, 1, ("kph", "kmh", "kmph"))
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
            "m/s": _METRES_PER_SECOND,
            "mph": _MILES_PER_HOUR,
            "km/h": _KILOMETRES_PER_HOUR,
            "ft/s": Unit(FOOT, 1, ("fps", "feet per second")),
            "m/min": Unit(1 / MINUTE, 1),
        },
        "wind": {"m/s": _METRES_PER_SECOND, "mph": _MILES_PER_HOUR, "km/h": _KILOMETRES_PER_HOUR},
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
            "turns": Unit(
                Fraction(1),
                2,
                ("turn", "rev", "revs", "revolutions", "revolution", "umdrehung", "umdrehungen"),
            ),
            "deg": Unit(Fraction(1, 360), 1, ("°", "degree", "degrees", "grad")),
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


def unit_named(name: str) -> Unit:
    """The unit of that name, whatever it measures."""
    for units in UNITS.values():
        if name in units:
            return units[name]
    names = tuple(sorted({known for units in UNITS.values() for known in units}))
    raise InputError("unit", name, Message("fault.one-of", known=names))
