"""`snath judge`: does a typed reading prove it?"""

from dataclasses import replace
from typing import Any, get_args

import click

from snath.decisions.job.assemble import job_for
from snath.decisions.job.job import DecisionRule, Stage
from snath.decisions.job.stands import SPEED_ONLY
from snath.decisions.job.work import notes_of, speed_alone
from snath.decisions.machine.clutch import allowed_condition
from snath.decisions.machine.parts import CRANKSHAFT, Condition, Machine
from snath.decisions.reading.typed import typed_reading
from snath.decisions.verdict.verdict import Verdict
from snath.quantities.errors import InputError
from snath.quantities.numbers import DecimalMark
from snath.quantities.units import parse
from snath.shop.cli.answer import answer, facts, json_option, said, speaks_plainly
from snath.shop.cli.codes import EXIT_OF
from snath.shop.cli.common import (
    ceil_rpm,
    decimal_option,
    floor_rpm,
    market_option,
    rule_book,
    rules_option,
)
from snath.shop.cli.sheet import machine_of
from snath.shop.cli.words import verdict_text


@click.command()
@click.argument("sheet")
@click.option(
    "--reading", "readings", multiple=True, required=True, help='As "3290 rpm"; give it three times.'
)
@click.option("--u", "stated_u", help='Standard uncertainty you stand for, as "10 rpm".')
@click.option("--at", "shaft", default=CRANKSHAFT, show_default=True, help="Shaft it was read at.")
@click.option(
    "--condition", type=click.Choice(get_args(Condition)), default="blades in air", show_default=True
)
@click.option("--hunting", help='Half the swing of a hunting engine, as "40 rpm".')
@click.option(
    "--decision", type=click.Choice(get_args(DecisionRule)), default="one-sided 95 %", show_default=True
)
@click.option(
    "--rule",
    "rule_id",
    help="Id of the surface-speed row to use in place of those in scope; it must speak of the machine.",
)
@market_option
@rules_option
@decimal_option
@json_option
@speaks_plainly
def judge(
    sheet: str,
    readings: tuple[str, ...],
    stated_u: str | None,
    shaft: str,
    condition: Condition,
    hunting: str | None,
    decision: DecisionRule,
    rule_id: str | None,
    market: str,
    rules: str | None,
    decimal_mark: DecimalMark,
    as_json: bool,
) -> None:
    """Verdict on a reading of the machine in SHEET: pass, fail or undecided.

    It speaks of the speed alone. Whether the machine itself was checked before it ran is asked of a job.
    """

    def speed(text: str | None, field: str) -> float | None:
        if text is None:
            return None
        return parse(text, dimension="rotation", field=field, decimal_mark=decimal_mark).value

    machine = machine_of(sheet, decimal_mark)
    reading = typed_reading(
        [
            parse(text, dimension="rotation", field="reading", decimal_mark=decimal_mark).value
            for text in readings
        ],
        shaft=_known_shaft(machine, shaft),
        condition=allowed_condition(machine, condition),
        stated_u=speed(stated_u, "u"),
        hunting=speed(hunting, "hunting"),
    )
    job = job_for(machine, rule_book(rules, decimal_mark), market=market, only=rule_id)
    verdict = speed_alone(replace(job, as_found=Stage((reading,)), decision=decision))
    assert verdict is not None
    notes = (*notes_of(job), SPEED_ONLY)
    data = {
        **verdict_data(verdict),
        "speaks_of": "speed alone",
        "chosen_rule": job.only_rule or None,
        "notes": facts(notes),
    }
    text = "\n".join([verdict_text(verdict), "", *map(said, notes)])
    answer(data, text, as_json=as_json, code=EXIT_OF[verdict.word])


def verdict_data(verdict: Verdict) -> dict[str, Any]:
    """The verdict as JSON has it; speeds at the shaft of the reading."""
    return {
        "verdict": verdict.word,
        "limits": verdict.limits,
        "maker": verdict.maker,
        "green": verdict.green,
        "p_over": None if verdict.p_over is None else [float(f"{p:.6g}") for p in verdict.p_over],
        "pass_below_rpm": floor_rpm(verdict.pass_below),
        "fail_above_rpm": ceil_rpm(verdict.fail_above),
        "decision_rule": verdict.decision_rule,
        "members": [
            {
                "member": m.member,
                "rule": m.rule,
                "side": m.side,
                "verdict": m.word,
                "p": [float(f"{m.p_least:.6g}"), float(f"{m.p_most:.6g}")],
            }
            for m in verdict.members
        ],
        "work": verdict.work,
        "reasons": facts(verdict.reasons),
        "settle": facts(verdict.settle),
    }


def _known_shaft(machine: Machine, shaft: str) -> str:
    if shaft not in machine.shafts:
        raise InputError("at", shaft, f"must be a shaft of the sheet: {', '.join(machine.shafts)}")
    return shaft
