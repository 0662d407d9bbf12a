"""Say where to set a machine that did not pass: one band, for one reading taken the same way, and what to aim for."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from snath.decisions.machine.condition_words import condition_term
from snath.decisions.machine.parts import Machine
from snath.decisions.reading.reading import Reading
from snath.decisions.reading.sample import brings_its_own
from snath.decisions.verdict.band import Band, Bench, Way, aimed, band
from snath.decisions.verdict.verdict import Verdict
from snath.quantities.message import Amount, Message

NO_LOAD = ("blades off", "blades in air")


def advised(
    verdict: Verdict,
    bench: Bench,
    readings: Sequence[Reading],
    *,
    step: float,
    aim: float | None,
    aim_reason: str,
) -> Verdict:
    """The verdict with the band to set in, where it is no pass and some reading of the last kind would be one.

    Where such a reading also shows that the machine does its work, the band holds those alone. Of readings that prove
    nothing at any speed (loaded, hunting, moving, of a kind that clears too little) nothing is promised.
    """
    way = _way(bench, readings)
    if verdict.word == "pass" or way is None:
        return verdict
    found = (band(bench, way, at_work=True) if verdict.work else None) or band(bench, way)
    if found is None:
        return verdict
    found = aimed(found, bench.machine, step=step, aim=aim)
    said = tuple(_said(bench.machine, found, aim_reason))
    return replace(
        verdict,
        set_between=(found.low, found.high),
        target=found.target,
        settle=(*said, *verdict.settle),
    )


def _way(bench: Bench, readings: Sequence[Reading]) -> Way | None:
    """How the last reading of a no-load top was taken; None where none was, or the engine hunts."""
    shafts = bench.machine.shafts
    told = [
        one for one in readings if one.value is not None and one.shaft in shafts and one.condition != "idle"
    ]
    if not told or any(one.hunting is not None or one.unsteady for one in told):
        return None
    last = told[-1]
    if last.condition not in NO_LOAD or (not last.confirmed and not last.repeats):
        return None
    assert last.value is not None
    stated = last.value.u if brings_its_own(last) and last.value.u > 0 else None
    return Way(last.shaft, last.condition, bench.tools.by_id(last.instrument), stated)


def _said(machine: Machine, found: Band, aim_reason: str) -> Iterator[Message]:
    condition, shaft = condition_term(machine, found.way.condition), found.way.shaft
    high = Amount(found.high, "rotation")
    if found.low is None:
        yield Message("verdict.set-below", high=high, condition=condition, shaft=shaft)
    else:
        low = Amount(found.low, "rotation")
        yield Message("verdict.set-between", low=low, high=high, condition=condition, shaft=shaft)
    if found.target is None:
        return
    target = Amount(found.target, "rotation")
    if found.target_from == "maker":
        yield Message("verdict.aim-maker", target=target)
    elif found.target_from == "shop":
        yield Message("verdict.aim-shop", target=target, reason=aim_reason)
    else:
        yield Message("verdict.aim-nearest", target=target)
