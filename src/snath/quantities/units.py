"""Read text with units into SI, and print SI back in the shop's units."""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from snath.quantities.constants import INCH
from snath.quantities.errors import InputError
from snath.quantities.measured import Line, Measured
from snath.quantities.message import Dimension, Message, term
from snath.quantities.numbers import DecimalMark, plain, with_mark_hint
from snath.quantities.unit_reading import SHAFT_ONLY, Reader, Unreadable
from snath.quantities.unit_table import unit_named

__all__ = [
    "Dimension",
    "Quantity",
    "Rounding",
    "from_rpm",
    "in_unit",
    "parse",
    "parse_quantity",
    "rounded",
    "rpm",
    "show",
    "show_inches",
    "with_unit",
]

Rounding = Literal["nearest", "down", "up"]


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value in SI, the unit it was written in, and the text itself."""

    measured: Measured
    unit: str
    text: str

    @property
    def half_width(self) -> float:
        """What was written after the ±, in SI; 0 where nothing was."""
        return math.sqrt(3) * math.fsum(line.u for line in self.measured.lines)


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
    allowed = Message("fault.quantity", quantity=term("quantity", dimension))
    line = plain(text, field=field, allowed=allowed)
    parts = re.split(r" ?(?:±|\+/-|\+-) ?", line)
    reader = Reader(dimension, decimal_mark, default_unit, turns_per_cycle)
    try:
        if len(parts) > 2:
            raise Unreadable(Message("fault.two-tolerances"))
        if len(parts) == 1:
            value, unit, name = reader.whole(parts[0])
            half = Fraction(0)
        else:
            (value, unit, name), half = reader.with_tolerance(parts[0], parts[1])
    except Unreadable as reason:
        if reason.why is not None:
            allowed = Message("fault.and-why", fault=allowed, why=reason.why)
        raise InputError(field, text, with_mark_hint(allowed, line, decimal_mark)) from None
    si = float(value * unit.factor + unit.offset)
    u = float(half * unit.factor) / math.sqrt(3)
    source = Message("budget.as-measured", field=field)
    lines = (Line(source, u, None, "rectangular"),) if u > 0 else ()
    return Quantity(Measured(si, lines), name, str(text))


def with_unit(text: str, unit: str, *, dimension: Dimension, decimal_mark: DecimalMark = ".") -> str:
    """The text with its unit written out, where it is a bare number and the unit stood beside its box.

    Anything else, and what cannot be read either way, stays as it was written.
    """
    value, *doubt = re.split(r"(?= ?(?:±|\+/-|\+-))", text.strip(), maxsplit=1)
    whole = "".join((f"{value} {unit}", *doubt))
    for tried, written in ((text, text), (whole, whole)):
        try:
            parse_quantity(tried, dimension=dimension, field="", decimal_mark=decimal_mark)
        except InputError:
            continue
        return written
    return text


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
        raise InputError("value", value, Message("fault.finite"))
    return Fraction(value)


def rounded(exactly: Fraction, how: Rounding) -> int:
    """To a whole number; what lies within float noise of one counts as that one."""
    nearest = math.floor(exactly + Fraction(1, 2))
    if how == "nearest" or abs(exactly - nearest) <= Fraction(1, 10**12) * max(1, abs(nearest)):
        return nearest
    return math.floor(exactly) if how == "down" else math.ceil(exactly)


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
