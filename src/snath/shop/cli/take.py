"""Say as JSON which readings would prove a machine."""

from collections.abc import Iterator
from typing import Any

from snath.decisions.job.job import Job
from snath.decisions.job.proof import proof_of
from snath.decisions.machine.condition_words import bladed, condition_word
from snath.decisions.machine.parts import Machine
from snath.decisions.reading.instruments import Instrument
from snath.decisions.verdict.band import Way
from snath.decisions.verdict.take import Take
from snath.shop.cli.answer import facts
from snath.shop.cli.common import hundredth_rpm


def take_data(job: Job, *, named: Instrument | None, stated_u: float | None) -> dict[str, Any]:
    """`take`, and where nothing proves the machine, why."""
    found = proof_of(job, named=named, stated_u=stated_u)
    return {"take": [_row(one, job.machine) for one in found.takes], "take_why": facts(found.why)}


def _row(one: Take, machine: Machine) -> dict[str, Any]:
    way = one.band.way
    return {
        "shaft": way.shaft,
        "condition": condition_word(way.condition, blades=bladed(machine)),
        "pass_from_rpm": hundredth_rpm(one.band.low, up=True),
        "pass_to_rpm": hundredth_rpm(one.band.high, up=False),
        "for": list(one.limits),
        "instrument": None if way.instrument is None else way.instrument.name,
        "u_rpm": None if way.stated_u is None else round(way.stated_u * 60, 3),
        "judge_with": list(_options(way)),
    }


def _options(way: Way) -> Iterator[str]:
    """What `snath judge` has to be told beside the reading."""
    tool = way.instrument
    if tool is not None and tool.accuracy:
        yield from ("--accuracy", f"{100 * tool.accuracy:.4g} %", "--instrument", tool.kind)
    elif tool is not None:
        yield from ("--instrument", tool.kind)
    if way.stated_u is not None:
        yield from ("--u", f"{way.stated_u * 60:.6g} rpm")
