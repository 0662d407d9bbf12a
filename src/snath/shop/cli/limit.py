"""`snath limit`: the ceiling of one blade, at once."""

import click

from snath.decisions.quick import QuickAnswer
from snath.quantities.message import Message, term
from snath.quantities.numbers import DecimalMark
from snath.rules.book import Rule
from snath.shop.answers.heads import BENCH_CAUTION, turning
from snath.shop.answers.limit import ask_limit, asked_blade, limit_answer
from snath.shop.cli.answer import answer, answers_plainly, note_habits, reader, said
from snath.shop.cli.common import book_options, decimal_option
from snath.shop.files.shop_rules import rule_book


@click.command()
@click.option("--blade", required=True, help='Blade length, as "22 in" or "558 mm".')
@click.option("--width", help="Blade width, for a square-ended bar.")
@click.option("--ratio", type=float, help="Blade turns for one engine turn; leave out for direct drive.")
@click.option("--rule", "rule_id", help="Id of the row to use in place of those in scope.")
@book_options
@decimal_option
@answers_plainly
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
    asked = asked_blade(blade, width, decimal_mark)
    note_habits(decimal_mark=decimal_mark, metric=asked.metric)
    found = ask_limit(
        asked,
        rule_book(rules, decimal_mark),
        ratio=ratio,
        market=market,
        rule=rule_id,
    )
    text = _text(found, as_tips=width is None)
    answer(limit_answer(found, asked.tips, reader()), text, as_json=as_json)


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
