"""How a figure is written for a reader: rounded to the side that does no harm, in their marks and units."""

import math
from fractions import Fraction

from snath.quantities.units import Rounding, in_unit, rounded, show, show_inches
from snath.shop.pictures.voice import Voice

FINEST_FRACTION = 32  # of an inch; what does not lie on such a mark is printed in decimals
ON_A_MARK = 0.0005  # inch
WHOLE_MM = 0.005  # mm
HALVES_UP = 1 + 1e-12  # 552.45 mm is no float; the nearest one lies under it and would print 552.4


def digits(voice: Voice, value: float, decimals: int = 0, rounding: Rounding = "nearest") -> str:
    """A bare number with its thousands parted; ceilings are handed in with "down", floors with "up"."""
    steps = rounded(Fraction(value) * 10**decimals, rounding)
    text = f"{steps / 10**decimals:,.{decimals}f}"
    return text.translate(str.maketrans(".,", ",.")) if voice.decimal_mark == "," else text


def short(voice: Voice, value: float, decimals: int) -> str:
    """A bare number with at most so many decimals and no idle zeros at its end."""
    text = digits(voice, value, decimals)
    return text.rstrip("0").rstrip(voice.decimal_mark) if voice.decimal_mark in text else text


def bare_rpm(voice: Voice, rev_s: float, rounding: Rounding = "nearest") -> str:
    """A rotation in whole turns a minute, without the unit."""
    return show(rev_s, "rpm", round=rounding, decimal_mark=voice.decimal_mark).removesuffix(" rpm")


def rpm(voice: Voice, rev_s: float, rounding: Rounding = "nearest") -> str:
    """A rotation in whole turns a minute."""
    return voice.say("unit.rpm", value=bare_rpm(voice, rev_s, rounding))


def spread_rpm(voice: Voice, rev_s: float) -> str:
    """An uncertainty in turns a minute: two digits, rounded up, so that doubt never shrinks in print."""
    return digits(voice, abs(rev_s) * 60, spread_decimals(rev_s), "up")


def spread_decimals(rev_s: float) -> int:
    """How many decimals of a turn a minute an uncertainty is printed to, everywhere."""
    per_minute = abs(rev_s) * 60
    return min(max(0, 1 - math.floor(math.log10(per_minute))), 2) if per_minute > 0 else 0


def seconds(voice: Voice, value: float) -> str:
    """A time in seconds to a tenth."""
    return show(value, "s", digits=1, decimal_mark=voice.decimal_mark)


def length(voice: Voice, metres: float) -> str:
    """A length in inches and millimetres, the reader's own unit first."""
    inches = in_unit(metres, "in")
    on_a_mark = abs(inches * FINEST_FRACTION - round(inches * FINEST_FRACTION)) < ON_A_MARK * FINEST_FRACTION
    imperial = (
        show_inches(metres, denominator=FINEST_FRACTION)
        if on_a_mark
        else show(metres, "in", digits=3, decimal_mark=voice.decimal_mark)
    )
    whole = abs(metres * 1000 - round(metres * 1000)) < WHOLE_MM
    metric = show(metres * HALVES_UP, "mm", digits=0 if whole else 1, decimal_mark=voice.decimal_mark)
    return f"{imperial} ({metric})" if voice.length == "in" else f"{metric} ({imperial})"


def surface_speed(voice: Voice, metres_a_second: float, rounding: Rounding = "nearest") -> str:
    """A tip or rim speed in ft/min and m/s, the reader's own unit first."""
    imperial = show(metres_a_second, "ft/min", round=rounding, decimal_mark=voice.decimal_mark)
    metric = show(metres_a_second, "m/s", digits=2, round=rounding, decimal_mark=voice.decimal_mark)
    return f"{imperial} ({metric})" if voice.length == "in" else f"{metric} ({imperial})"


def limit(voice: Voice, value: float, kind: str, rounding: Rounding = "nearest") -> str:
    """A limit of any kind of rule in the unit that kind is spoken of."""
    if kind == "surface speed":
        return surface_speed(voice, value, rounding)
    if kind == "shaft speed":
        return rpm(voice, value, rounding)
    units = {"frequency": "Hz", "stopping time": "s", "recovery time": "s", "energy": "J"}
    if kind in units:
        return show(value, units[kind], round=rounding, decimal_mark=voice.decimal_mark)
    return f"{digits(voice, value * 100, 1, rounding)} %"
