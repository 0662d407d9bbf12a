"""`snath judge`: judge a typed reading."""

from dataclasses import replace
from typing import Any, get_args

import click

from snath.decisions.job.assemble import job_for
from snath.decisions.job.job import DecisionRule, Stage
from snath.decisions.job.stands import SPEED_ONLY
from snath.decisions.job.work import notes_of, speed_alone
from snath.decisions.machine.clutch import allowed_condition
from snath.decisions.machine.parts import CRANKSHAFT, Condition, Machine
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.reading import Reading
from snath.decisions.reading.typed import typed_reading
from snath.decisions.verdict.verdict import Verdict
from snath.quantities.numbers import DecimalMark
from snath.quantities.units import parse
from snath.shop.cli.answer import answer, facts, json_option, said, speaks_plainly
from snath.shop.cli.codes import EXIT_OF
from snath.shop.cli.common import (
    accuracy_option,
    ceil_rpm,
    condition_option,
    decimal_option,
    floor_rpm,
    hundredth_rpm,
    instrument_named,
    instrument_option,
    market_option,
    rule_book,
    rules_option,
    tenth_rpm,
    u_option,
)
from snath.shop.cli.sheet import machine_of
from snath.shop.cli.spoken_reading import Spoken, spoken
from snath.shop.cli.words import verdict_text


@click.command()
@click.argument("sheet")
@click.option(
    "--reading",
    "readings",
    multiple=True,
    required=True,
    help='As "3290 rpm", "no load: 3290 rpm" or "blades in air at spindle: 2900 rpm"; as often as it was read.',
)
@instrument_option
@accuracy_option
@u_option
@click.option("--at", "shaft", default=CRANKSHAFT, show_default=True, help="Shaft it was read at.")
@condition_option
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
    instrument: str | None,
    accuracy: str | None,
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
    """Verdict on the readings of one setting of the machine in SHEET: pass, fail or undecided.

    It speaks of the speed alone. Whether the machine itself was checked before it ran is asked of a job.
    """

    def speed(text: str | None, field: str) -> float | None:
        if text is None:
            return None
        return parse(text, dimension="rotation", field=field, decimal_mark=decimal_mark).value

    machine = machine_of(sheet, decimal_mark)
    typed = [
        spoken(text, machine, shaft=shaft, condition=condition, decimal_mark=decimal_mark)
        for text in readings
    ]
    known = instrument_named(instrument, accuracy, decimal_mark)
    taken = _taken(machine, typed, known, stated_u=speed(stated_u, "u"), hunting=speed(hunting, "hunting"))
    job = job_for(machine, rule_book(rules, decimal_mark), market=market, only=rule_id)
    tools = (known,) if known else ()
    verdict = speed_alone(replace(job, as_found=Stage(taken), instruments=tools, decision=decision))
    assert verdict is not None
    notes = (*notes_of(job), SPEED_ONLY)
    data = {
        **verdict_data(verdict),
        "speaks_of": "speed alone",
        "chosen_rule": job.only_rule or None,
        "notes": facts(notes),
    }
    text = "\n".join([verdict_text(verdict, machine), "", *map(said, notes)])
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
        "work": verdict.work or None,
        "set_from_rpm": None
        if verdict.set_between is None
        else hundredth_rpm(verdict.set_between[0], up=True),
        "set_to_rpm": None
        if verdict.set_between is None
        else hundredth_rpm(verdict.set_between[1], up=False),
        "target_rpm": tenth_rpm(verdict.target),
        "reasons": facts(verdict.reasons),
        "settle": facts(verdict.settle),
    }


def _taken(
    machine: Machine,
    typed: list[Spoken],
    instrument: Instrument | None,
    *,
    stated_u: float | None,
    hunting: float | None,
) -> tuple[Reading, ...]:
    """Every figure as a reading of its own; those of one shaft and condition must be of one speed."""
    groups: dict[tuple[str, Condition], list[float]] = {}
    for one in typed:
        groups.setdefault((one.shaft, allowed_condition(machine, one.condition)), []).append(one.speed)
    for speeds in groups.values():
        typed_reading(speeds)  # refuses what lies too far apart, a slip of a digit
    return tuple(
        typed_reading(
            [speed],
            shaft=shaft,
            condition=condition,
            instrument=instrument,
            stated_u=stated_u,
            hunting=hunting,
        )
        for (shaft, condition), speeds in groups.items()
        for speed in speeds
    )
