"""Say how a job could be proven: which readings, with what instrument, or why none would do it."""

from collections.abc import Iterator
from dataclasses import dataclass

from snath.decisions.job.job import Job
from snath.decisions.reading.instruments import Instrument, InstrumentKind
from snath.decisions.verdict.band import Bench
from snath.decisions.verdict.pools import Tools
from snath.decisions.verdict.take import ROUGHEST_FIRST, Take, takes, ways_of
from snath.decisions.window.limits import limits_of, unlimited
from snath.quantities.message import Message


@dataclass(frozen=True, slots=True)
class Proof:
    """The fewest readings that would prove the machine; where there are none, why."""

    takes: tuple[Take, ...]
    why: tuple[Message, ...]


def of_kind(kind: InstrumentKind) -> Instrument:
    """An instrument of which nothing is known but its kind."""
    return Instrument(kind, kind, kind)


def bench_of(job: Job, *more: Instrument) -> Bench:
    """What the job's machine is judged by, with further instruments beside its own."""
    limits = limits_of(job.machine, job.rules, market=job.market, only=job.only_rule)
    tools = Tools((*job.instruments, *more), job.judged_on, job.strict)
    return Bench(job.machine, limits, job.decision, tools)


def proof_of(job: Job, *, kind: InstrumentKind | None = None, stated_u: float | None = None) -> Proof:
    """What to take, with the kind of instrument named, or with the roughest that does it."""
    named = None if kind is None else of_kind(kind)
    bench = bench_of(job, *(one for one in (named, *ROUGHEST_FIRST) if one is not None))
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
