"""`snath rework`: a kept job worked again, with every difference and where it comes from."""

import json
from collections.abc import Iterator

import click

from snath.decisions.job.rework import Difference, Rework, rework
from snath.rules.book import Rule
from snath.shop.cli.answer import answer, json_option, speaks_plainly
from snath.shop.cli.codes import DONE, FAILED
from snath.shop.cli.common import rules_option
from snath.shop.cli.kept import read_kept_file
from snath.shop.files.shop_rules import rule_book


@click.command("rework")
@click.argument("file")
@rules_option
@json_option
@speaks_plainly
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
    yield f"Worked then by {before}, now by {after}."
    if not found.by_program:
        yield "With the rules kept on the job, every figure is the same."
    else:
        yield "With the rules kept on the job, these moved because the program did; the change list says why:"
        yield from _table(found.by_program)
    if found.by_checks:
        yield (
            "It was kept before checks of the machine decided. Nothing passes now without them: walk its check list, "
            "or take this as what was known of its speed:"
        )
        yield from _table(found.by_checks)
    if found.rules_moved:
        yield f"Today's book has these rows otherwise or no longer: {', '.join(found.rules_moved)}."
        yield "Today's rows would change:" if found.by_rules else "They would change nothing on this job."
        yield from _table(found.by_rules)
    for rule in found.rules_new:
        instead = f" in place of {rule.overrides}" if rule.overrides else ""
        yield (
            f"A row that the sheet was printed without now applies{instead}: {rule.id}, {rule.limits}, {rule.printed} "
            f"({', '.join(filter(None, (rule.source, rule.edition, rule.standing)))})."
        )
    if found.rules_new:
        yield (
            "On top of that it would change:"
            if found.by_new_rules
            else "That would change nothing on this job."
        )
        yield from _table(found.by_new_rules)


def _table(rows: tuple[Difference, ...]) -> Iterator[str]:
    for path, then, now in rows:
        yield f"   {path}: {_briefly(then)} -> {_briefly(now)}"


def _briefly(value: object) -> object:
    """A figure or word as it is; what holds many of them by their number, for --json has it in full."""
    return f"{len(value)} entries" if isinstance(value, list | dict) else value
