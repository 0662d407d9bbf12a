"""Say how a job could be proven: which readings, with what instrument, or why none would do it."""

from collections.abc import Iterator
from dataclasses import dataclass

from snath.decisions.job.job import Job
from snath.decisions.job.window_of import limits_for
from snath.decisions.reading.instruments import Instrument
from snath.decisions.verdict.band import Bench
from snath.decisions.verdict.pools import Tools
from snath.decisions.verdict.take import ROUGHEST_FIRST, Take, takes, ways_of
from snath.decisions.window.limits import unlimited
from snath.quantities.message import Message


@dataclass(frozen=True, slots=True)
class Proof:
    """The fewest readings that would prove the machine; where there are none, why."""

    takes: tuple[Take, ...]
    why: tuple[Message, ...]


def bench_of(job: Job, *more: Instrument) -> Bench:
    """What the job's machine is judged by, with further instruments beside its own."""
    limits = limits_for(job, job.machine)
    tools = Tools((*job.instruments, *more), job.judged_on, job.strict)
    return Bench(job.machine, limits, job.decision, tools)


def proof_of(job: Job, *, named: Instrument | None = None, stated_u: float | None = None) -> Proof:
    """What to take, with the instrument named, or with the roughest that does it."""
    known = [named] if named else [one for one, _ in ROUGHEST_FIRST if one is not None]
    bench = bench_of(job, *known)
    found = takes(bench, ways_of(bench, instrument=named, stated_u=stated_u))
    return Proof(found, () if found else tuple(_why(bench)))


def _why(bench: Bench) -> Iterator[Message]:
    """Why no reading proves it."""
    for name in unlimited(bench.machine, bench.limits):
        yield Message("verdict.unlimited", member=name)
    ceilings = [one for one in bench.limits if one.side == "ceiling" and one.applies_to == "sustained"]
    if not ceilings:
        yield Message("verdict.no-ceiling")
    if any(not one.in_force for one in ceilings):
        yield Message("verdict.historical")
    yield Message("verdict.not-proven-by-reading")
