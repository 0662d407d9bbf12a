"""`snath window`: what engine speed a machine sheet allows."""

from typing import Any

import click

from snath.decisions.job.assemble import job_for
from snath.decisions.job.job import Result
from snath.decisions.job.work import work
from snath.decisions.window.window import Bound, Remedy
from snath.quantities.numbers import DecimalMark
from snath.quantities.units import parse
from snath.shop.cli.answer import answer, fact, facts, json_option, said, speaks_plainly
from snath.shop.cli.codes import DONE, FAILED, UNDECIDED
from snath.shop.cli.common import (
    accuracy_option,
    ceil_rpm,
    decimal_option,
    floor_rpm,
    instrument_named,
    instrument_option,
    market_option,
    rule_book,
    rules_option,
    tenth_rpm,
    u_option,
)
from snath.shop.cli.sheet import machine_of
from snath.shop.cli.take import take_data
from snath.shop.cli.words import window_text


@click.command()
@click.argument("sheet")
@click.option(
    "--rule",
    "rule_id",
    help="Id of the surface-speed row to use in place of those in scope; it must speak of the machine.",
)
@instrument_option
@accuracy_option
@u_option
@market_option
@rules_option
@decimal_option
@json_option
@speaks_plainly
def window(
    sheet: str,
    rule_id: str | None,
    instrument: str | None,
    accuracy: str | None,
    stated_u: str | None,
    market: str,
    rules: str | None,
    decimal_mark: DecimalMark,
    as_json: bool,
) -> None:
    """Allowed no-load engine speed of the machine in SHEET, what binds, and what would open it.

    As JSON also `take`: the fewest readings that would prove it, each with where, while what, and between which speeds.
    """
    machine = machine_of(sheet, decimal_mark)
    job = job_for(machine, rule_book(rules, decimal_mark), market=market, only=rule_id)
    result = work(job)
    code = DONE if result.window.feasible else FAILED if result.window.shut else UNDECIDED
    data = {**window_data(result), "chosen_rule": job.only_rule or None}
    if as_json:
        u = None
        if stated_u is not None:
            u = parse(stated_u, dimension="rotation", field="u", decimal_mark=decimal_mark).value
        named = instrument_named(instrument, accuracy, decimal_mark)
        data |= take_data(job, named=named, stated_u=u)
    answer(data, window_text(result, machine), as_json=as_json, code=code)


def window_data(result: Result) -> dict[str, Any]:
    """The window as JSON has it; speeds at the crankshaft."""
    found = result.window
    low, high = ceil_rpm(found.set_low), floor_rpm(found.set_high)
    binding = next((b for b in found.bounds if b.worst and b.member == found.binding), None)
    return {
        "feasible": found.feasible,
        "shut": found.shut,
        "ceiling_rpm": floor_rpm(found.ceiling),
        "floor_rpm": ceil_rpm(found.floor),
        "target_rpm": tenth_rpm(found.target),
        "set_between_rpm": None if low is None else [low, high],
        "pass_below_rpm": floor_rpm(found.pass_below),
        "fail_above_rpm": ceil_rpm(found.fail_above),
        "setting": found.setting,
        "binding": {
            "member": found.binding,
            "rule": found.binding_rule,
            "alternative": said(binding.alternative) if binding else "",
        },
        "members": [_bound(bound) for bound in found.bounds],
        "remedies": [_remedy(remedy) for remedy in found.remedies],
        "notes": facts((*found.notes, *result.notes)),
        "program": result.program,
    }


def _bound(bound: Bound) -> dict[str, Any]:
    return {
        "member": bound.member,
        "shaft": bound.shaft,
        "rule": bound.rule,
        "standing": bound.standing,
        "side": bound.side,
        "alternative": said(bound.alternative),
        "engine_rpm": tenth_rpm(bound.engine.value),
        "u_rpm": tenth_rpm(bound.engine.u),
        "ratio": round(bound.ratio, 6),
        "counts": bound.worst,
        "working": facts(bound.working),
    }


def _remedy(remedy: Remedy) -> dict[str, Any]:
    return {
        "change": fact(remedy.change),
        "kind": remedy.kind,
        "shaft": remedy.shaft,
        "value": remedy.value,
        "exactly": remedy.exactly,
        "ceiling_rpm": floor_rpm(remedy.ceiling),
        "floor_rpm": ceil_rpm(remedy.floor),
        "makers_approval_needed": remedy.approval,
    }
