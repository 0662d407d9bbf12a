"""`snath limit`: the ceiling of one blade, at once."""

from typing import Any

import click

from snath.decisions.quick import QuickAnswer, quick_limit
from snath.formulas.blades import tip_circle_from_bar
from snath.quantities.errors import InputError, within
from snath.quantities.measured import Measured, combine, exact
from snath.quantities.message import Message, term
from snath.quantities.numbers import DecimalMark
from snath.quantities.units import parse, parse_quantity
from snath.rules.book import Rule
from snath.shop.cli.answer import answer, facts, json_option, note_habits, said, speaks_plainly
from snath.shop.cli.common import decimal_option, floor_rpm, market_option, rule_book, rules_option
from snath.shop.cli.words import BENCH_CAUTION, turning


@click.command()
@click.option("--blade", required=True, help='Blade length, as "22 in" or "558 mm".')
@click.option("--width", help="Blade width, for a square-ended bar.")
@click.option("--ratio", type=float, help="Blade turns for one engine turn; leave out for direct drive.")
@click.option("--rule", "rule_id", help="Id of the row to use in place of those in scope.")
@market_option
@rules_option
@decimal_option
@json_option
@speaks_plainly
def limit(
    blade: str,
    width: str | None,
    ratio: float | None,
    rule_id: str | None,
    market: str,
    rules: str | None,
    decimal_mark: DecimalMark,
    as_json: bool,
) -> None:
    """Ceiling on engine speed for one blade, with the arithmetic."""
    typed = parse_quantity(blade, dimension="length", field="blade", decimal_mark=decimal_mark)
    tips, metric = typed.measured, typed.unit not in ("in", "ft")
    note_habits(decimal_mark=decimal_mark, metric=metric)
    within("blade", tips.value, 0.05, 5, "m")
    if typed.half_width >= tips.value:
        raise InputError("blade", blade, Message("sheet.doubt-too-wide"))
    if width is not None:
        across = parse(width, dimension="length", field="width", decimal_mark=decimal_mark)
        if across.value > tips.value:
            raise InputError("width", width, Message("sheet.width-over-length", length=typed.text))
        tips = _bar(tips, across)
    if ratio is not None:
        within("ratio", ratio, 0.05, 20)
    found = quick_limit(
        tips,
        rule_book(rules, decimal_mark),
        ratio=None if ratio is None else exact(ratio),
        market=market,
        only=rule_id,
        decimal_mark=decimal_mark,
        metric=metric,
    )
    answer(_data(found, tips), _text(found, as_tips=width is None), as_json=as_json)


def _bar(length: Measured, width: Measured) -> Measured:
    """Tip circle of a square-ended bar with the tape's doubt in both sides."""
    circle = float(tip_circle_from_bar(length=length.value, width=width.value))
    return combine(circle, [(length, length.value / circle), (width, width.value / circle)])


def _data(found: QuickAnswer, tips: Measured) -> dict[str, Any]:
    return {
        "rpm": floor_rpm(found.window.ceiling),
        "rpm_exact": None if found.window.ceiling is None else round(found.window.ceiling * 60, 6),
        "rule": found.rule.id,
        "standing": found.rule.standing,
        "in_force": found.rule.in_force,
        "tip_speed": found.rule.at_most,
        "tip_speed_unit": "m/s",
        "tip_speed_printed": found.rule.printed,
        "tip_circle_m": round(tips.value, 6),
        "working": facts(line for bound in found.window.bounds if bound.worst for line in bound.working),
        "notes": facts((*found.window.notes, *found.notes)),
    }


def _text(found: QuickAnswer, *, as_tips: bool) -> str:
    lines = [said(Message("terminal.blade-never-above", speed=turning(found.window.ceiling))), ""]
    lines += [f"  {said(line)}" for bound in found.window.bounds if bound.worst for line in bound.working]
    if as_tips:
        lines.append(f"  {said(Message('terminal.taken-as-tip-circle'))}")
    lines += ["", said(_rule(found.rule)), *map(said, found.notes), said(BENCH_CAUTION)]
    return "\n".join(lines)


def _rule(rule: Rule) -> Message:
    known = term("standing", rule.standing)
    if rule.in_force:
        return Message(
            "terminal.rule", rule=rule.id, printed=said(rule.printed), source=rule.source, standing=known
        )
    return Message(
        "terminal.rule-historical",
        rule=rule.id,
        printed=said(rule.printed),
        source=rule.source,
        standing=known,
    )
