"""`snath rework`: a kept job worked again, with every difference and where it comes from."""

import json
from collections.abc import Iterator

import click

from snath.decisions.job.rework import Difference, Rework, rework
from snath.quantities.message import Message, term
from snath.rules.book import Rule
from snath.shop.answers.moved import moved
from snath.shop.cli.answer import answer, answers_plainly, said
from snath.shop.cli.codes import DONE, FAILED
from snath.shop.cli.common import rules_option
from snath.shop.cli.kept import read_kept_file
from snath.shop.files.shop_rules import rule_book


@click.command("rework")
@click.argument("file")
@rules_option
@answers_plainly
def again(file: str, rules: str | None, as_json: bool) -> None:
    """Work the job in FILE again, kept by `snath job --save` or sealed by the bench.

    Exit code 1 where anything came out differently.
    """
    job, then = read_kept_file(file)
    found = rework(job, then, rule_book(rules, job.decimal_mark))
    programs = (json.loads(then).get("program", "unknown"), json.loads(found.now)["program"])
    data = {
        "program_then": programs[0],
        "program_now": programs[1],
        "by_program": [_row(row) for row in found.by_program],
        "by_checks": [_row(row) for row in found.by_checks],
        "rules_moved": list(found.rules_moved),
        "by_rules": [_row(row) for row in found.by_rules],
        "rules_new": [_new_row(rule) for rule in found.rules_new],
        "by_new_rules": [_row(row) for row in found.by_new_rules],
    }
    code = DONE if found.unchanged else FAILED
    answer(data, "\n".join(_lines(found, *programs)), as_json=as_json, code=code)


def _row(row: Difference) -> dict[str, object]:
    path, then, now = row
    return {"path": path, "then": then, "now": now}


def _new_row(rule: Rule) -> dict[str, object]:
    return {
        "id": rule.id,
        "limits": rule.limits,
        "printed": rule.printed,
        "source": rule.source,
        "edition": rule.edition,
        "standing": rule.standing,
        "in_place_of": rule.overrides or None,
    }


def _lines(found: Rework, before: str, after: str) -> Iterator[str]:
    yield said(Message("moved.programs", then=before, now=after))
    yield said(Message("moved.by-program") if found.by_program else Message("moved.same"))
    yield from _table(found.by_program)
    if found.by_checks:
        yield said(Message("moved.by-checks"))
        yield from _table(found.by_checks)
    if found.rules_moved:
        yield said(Message("moved.rules-moved", rules=", ".join(found.rules_moved)))
        yield said(Message("moved.rules-change") if found.by_rules else Message("moved.rules-change-nothing"))
        yield from _table(found.by_rules)
    for rule in found.rules_new:
        yield said(_new(rule))
    if found.rules_new:
        yield said(Message("moved.new-change") if found.by_new_rules else Message("moved.new-change-nothing"))
        yield from _table(found.by_new_rules)


def _new(rule: Rule) -> Message:
    known = term("standing", rule.standing)
    where = ", ".join(filter(None, (rule.source, said(rule.edition), said(known))))
    what: dict[str, Message | str] = {
        "rule": rule.id,
        "limits": said(rule.limits),
        "printed": said(rule.printed),
        "source": where,
    }
    return (
        Message("moved.rule-new-for", other=rule.overrides, **what)
        if rule.overrides
        else Message("moved.rule-new", **what)
    )


def _table(rows: tuple[Difference, ...]) -> Iterator[str]:
    yield from (f"   {said(one)}" for one in moved(rows))
