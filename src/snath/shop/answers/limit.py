"""Answer the quick ask: the ceiling of one blade, typed as text with units."""

from dataclasses import dataclass, field
from typing import Any

from snath.decisions.quick import QuickAnswer, quick_limit
from snath.formulas.blades import tip_circle_from_bar
from snath.quantities.errors import InputError, one_within
from snath.quantities.measured import Measured, combine, exact
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.quantities.units import parse, parse_quantity, show
from snath.rules.book import Rule, Standing
from snath.shop.answers.facts import Fact, facts
from snath.shop.answers.speeds import floor_rpm
from snath.words.render import Locale

LEAST, MOST = 0.05, 5.0  # m, between which a blade may be long


@dataclass(frozen=True)
class LimitAnswer:
    """The ceiling on engine speed for one blade.

    Attributes
    ----------
    rpm : int or None
        Never above it, rounded down; None where no row limits it. [rpm]
    rpm_exact : float or None
        The same before it was rounded. [rpm]
    rule : str
        Id of the row that binds.
    standing : str
        How well that row is known.
    in_force : bool
        False for a historical row, which explains and clears nothing.
    tip_speed : float or None
        What the row allows at the tip. [m/s]
    tip_speed_unit : str
        Unit of `tip_speed`.
    tip_speed_printed : str
        As the source prints it.
    tip_circle_m : float
        Diameter the tips run on. [m]
    steps : tuple of Fact
        The arithmetic, line by line.
    notes : tuple of Fact
        What else has to be known.
    """

    rpm: int | None
    rpm_exact: float | None
    rule: str
    standing: Standing
    in_force: bool
    tip_speed: float | None
    tip_speed_unit: str
    tip_speed_printed: str
    tip_circle_m: float
    steps: tuple[Fact, ...] = field(metadata={"serialization_alias": "working"})
    notes: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class AskedBlade:
    """What was typed of a blade: its tip circle [m], and whether that is in metric units."""

    tips: Measured
    metric: bool


def asked_blade(blade: Any, width: Any, decimal_mark: DecimalMark) -> AskedBlade:
    """The tip circle of a blade, or of a square-ended bar of that width.

    Raises
    ------
    InputError
        Where a length is none, or is none a blade can have.
    """
    typed = parse_quantity(blade, dimension="length", field="blade", decimal_mark=decimal_mark)
    tips = typed.measured
    if not LEAST <= tips.value <= MOST:
        ends = [show(end, typed.unit, decimal_mark=decimal_mark) for end in (LEAST, MOST)]
        raise InputError("blade", typed.text, Message("sheet.between", low=ends[0], high=ends[1]))
    if typed.half_width >= tips.value:
        raise InputError("blade", blade, Message("sheet.doubt-too-wide"))
    if width is not None:
        across = parse(width, dimension="length", field="width", decimal_mark=decimal_mark)
        if across.value > tips.value:
            raise InputError("width", width, Message("sheet.width-over-length", length=typed.text))
        tips = _bar(tips, across)
    return AskedBlade(tips, typed.unit not in ("in", "ft"))


def ask_limit(
    asked: AskedBlade,
    book: tuple[Rule, ...],
    *,
    ratio: float | None,
    market: str,
    rule: str | None,
) -> QuickAnswer:
    """The ceiling of that blade on the crankshaft, or behind a ratio."""
    return quick_limit(
        asked.tips,
        book,
        ratio=None if ratio is None else exact(one_within("ratio", ratio, 0.05, 20)),
        market=market,
        only=rule,
        metric=asked.metric,
    )


def limit_answer(found: QuickAnswer, tips: Measured, locale: Locale) -> LimitAnswer:
    """The ceiling as JSON has it."""
    window, rule = found.window, found.rule
    return LimitAnswer(
        rpm=floor_rpm(window.ceiling),
        rpm_exact=None if window.ceiling is None else round(window.ceiling * 60, 6),
        rule=rule.id,
        standing=rule.standing,
        in_force=rule.in_force,
        tip_speed=rule.at_most,
        tip_speed_unit="m/s",
        tip_speed_printed=rule.printed,
        tip_circle_m=round(tips.value, 6),
        steps=facts((line for bound in window.bounds if bound.worst for line in bound.working), locale),
        notes=facts((*window.notes, *found.notes), locale),
    )


def _bar(length: Measured, width: Measured) -> Measured:
    """Tip circle of a square-ended bar with the tape's doubt in both sides."""
    circle = float(tip_circle_from_bar(length=length.value, width=width.value))
    return combine(circle, [(length, length.value / circle), (width, width.value / circle)])
