"""The wall chart: for each size of blade the speed it must never pass, through the same core as everything else."""

from collections.abc import Sequence
from dataclasses import dataclass

from snath.decisions.quick import quick_limit
from snath.formulas.blades import tip_circle_from_bar
from snath.quantities.errors import InputError, within
from snath.quantities.measured import exact
from snath.quantities.message import Amount, Message
from snath.rules.book import Rule
from snath.shop.paper.facts import SheetFacts
from snath.shop.paper.press import printed
from snath.shop.paper.voices import day, paper_voice
from snath.shop.pictures.figures import bare_rpm, length
from snath.shop.pictures.voice import Voice

MOST_SIZES = 60  # on one wall chart; more cannot be read from where the blade is
SMALLEST, LARGEST = 0.1, 2.0  # m, of a blade


@dataclass(frozen=True, slots=True)
class ChartRow:
    """One size of blade.

    Attributes
    ----------
    blade, circle : float
        As the blade is called, and the circle its tips run on. [m]
    ceiling : float
        Speed of the blade that it must never pass. [rev/s]
    rule : Rule
        By which row of the book.
    """

    blade: float
    circle: float
    ceiling: float
    rule: Rule


def sizes_between(smallest: float, largest: float, step: float) -> tuple[float, ...]:
    """Every size from the smallest on, the largest included where a step meets it. [m]"""
    within("from", smallest, SMALLEST, LARGEST, "m")
    within("to", largest, SMALLEST, LARGEST, "m")
    within("step", step, 0, LARGEST, "m", open_low=True)
    if largest < smallest:
        raise InputError(
            "to", f"{largest:g} m", Message("fault.smallest-size", smallest=Amount(smallest, "length"))
        )
    count = int((largest - smallest) / step + 1e-9) + 1
    if count > MOST_SIZES:
        raise InputError("step", f"{step:g} m", Message("fault.chart-sizes", count=count, most=MOST_SIZES))
    return tuple(smallest + i * step for i in range(count))


def chart_rows(
    sizes: Sequence[float],
    book: tuple[Rule, ...],
    *,
    width: float | None = None,
    market: str = "",
    only: str | None = None,
) -> tuple[ChartRow, ...]:
    """The ceiling of each size. [m]

    Parameters
    ----------
    sizes : sequence of float
        Blade from tip to tip; with `width` square across a bar with square ends. [m]
    book : tuple of Rule
        The rule book.
    width : float or None
        Of the bar. [m]
    market, only
        As in the quick ask.
    """
    rows = []
    for size in sizes:
        circle = size if width is None else float(tip_circle_from_bar(length=size, width=width))
        found = quick_limit(exact(circle), book, market=market, only=only)
        if found.window.ceiling is None:
            raise InputError("rule", found.rule.id, Message("fault.needs-ceiling"))
        rows.append(ChartRow(size, circle, found.window.ceiling, found.rule))
    return tuple(rows)


def wall_chart(
    rows: Sequence[ChartRow],
    *,
    width: float | None = None,
    facts: SheetFacts | None = None,
    paper: str = "a4",
    voice: Voice | None = None,
    program: str = "",
) -> bytes:
    """The chart as PDF, to be read from where the blade is."""
    facts = facts or SheetFacts()
    voice = voice or paper_voice()
    rules = {row.rule.id: row.rule for row in rows}
    printed_on = f" · {day(voice, facts.printed_on)}" if facts.printed_on else ""
    data = {
        "title": voice.say("chart.title"),
        "shop": facts.shop,
        "shop_lines": list(facts.shop_lines),
        "footer": f"{program}{printed_on}",
        "size_head": voice.say("chart.size" if width is None else "chart.size-length"),
        "unit": voice.say("unit.rpm-axis"),
        "rows": [[length(voice, row.blade), bare_rpm(voice, row.ceiling, "down")] for row in rows],
        "width": voice.say("chart.width", width=length(voice, width)) if width is not None else "",
        "rules": [_rule(rule, voice) for rule in rules.values()],
    }
    return printed("wall_chart.typ", data, voice=voice, paper=paper, made=facts.printed_on)


def _rule(rule: Rule, voice: Voice) -> dict[str, str]:
    return {
        "rule": voice.say(
            "chart.rule",
            printed=voice.said(rule.printed),
            source=voice.said(rule.source),
            edition=voice.said(rule.edition) or "–",
        ),
        "standing": voice.say("chart.standing", standing=voice.term("standing", rule.standing)),
        "historical": "" if rule.in_force else voice.say("chart.historical"),
        "note": voice.said(rule.note),
    }
