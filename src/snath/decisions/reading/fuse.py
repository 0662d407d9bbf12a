"""Combine several readings of one shaft into one, or show that they conflict."""

import math
from dataclasses import replace

from snath.decisions.reading.budget import cause
from snath.decisions.reading.reading import Reading
from snath.formulas.signals.candidates import Candidate
from snath.formulas.signals.fusion import fused
from snath.quantities.errors import InputError
from snath.quantities.measured import Line, Measured
from snath.quantities.message import Message, term

CONFLICT = 0.01  # readings that agree so rarely by chance are not averaged
DECIDED = 0.95
SAME_RUN = 0.003  # share by which a governed engine may differ between two readings; from memory
KEPT = 0.002
OF_ONE_CLIP = {  # causes another recording does not share
    "budget.wander",
    "budget.sound-noise",
    "budget.blade-tone",
    "budget.light-noise",
    "budget.light-exposure",
    "budget.light-readout",
    "budget.pulse-edge",
}
ELSEWHERE = 1e-3  # belief left to a candidate only one reading names


def fuse(readings: tuple[Reading, ...]) -> Reading:
    """Readings of the same shaft under the same condition as one.

    Decided ones are averaged with shared causes kept shared; undecided ones lend their candidates, so
    that two that each leave several speeds may leave one together.

    Raises
    ------
    InputError
        If there is none, or they are of different shafts or conditions.
    """
    if not readings:
        raise InputError("readings", "none", Message("fault.at-least-one"))
    first = readings[0]
    for other in readings[1:]:
        if other.shaft != first.shaft:
            raise InputError("shaft", other.shaft, Message("reading.as-first", first=first.shaft))
        if other.condition != first.condition:
            wanted = Message("reading.as-first", first=term("condition", first.condition))
            raise InputError("condition", other.condition, wanted)
    if len(readings) == 1:
        return first
    decided = [one for one in readings if one.decided and one.value is not None]
    if len(decided) == len(readings):
        return _averaged(readings)
    return _joined(readings)


def _averaged(readings: tuple[Reading, ...]) -> Reading:
    values = tuple(_own(one) for one in readings)
    result = fused(values=values)
    candidates = tuple(
        Candidate(value.value, value.u, 1 / len(values), *_by(one.method))
        for value, one in zip(values, readings, strict=True)
    )
    agree = result.p_agree >= CONFLICT
    return _as(
        readings,
        value=result.value if agree else None,
        candidates=() if agree else candidates,
        why=Message("reading.agree") if agree else Message("reading.contradict"),
        next_steps=() if agree else (Message("reading.both-again"),),
    )


def _by(method: str) -> tuple[Message, Message]:
    return term("method", method), Message("reading.read-by", method=term("method", method))


def _joined(readings: tuple[Reading, ...]) -> Reading:
    """Candidates that all readings leave, by the product of their weights."""
    pools = [_pool(one) for one in readings]
    if not all(pools):
        heard = [one for one in readings if _pool(one)]
        return fuse(tuple(heard)) if heard else readings[0]
    joint: list[Candidate] = []
    for seed in sorted((one for pool in pools for one in pool), key=lambda one: one.u):
        if any(_same(seed, known) for known in joint):
            continue
        weight = 1.0
        for pool in pools:
            weight *= sum(one.weight for one in pool if _same(seed, one)) + ELSEWHERE
        joint.append(Candidate(seed.rev_s, seed.u, weight, seed.order, seed.why))
    total = sum(one.weight for one in joint)
    ranked = sorted(
        (Candidate(one.rev_s, one.u, one.weight / total, one.order, one.why) for one in joint),
        key=lambda one: -one.weight,
    )
    best = ranked[0]
    if best.weight < DECIDED or not all(any(_same(best, one) for one in pool) for pool in pools):
        return _as(
            readings,
            value=None,
            candidates=tuple(one for one in ranked if one.weight > KEPT),
            why=Message("reading.still-several"),
            next_steps=tuple(dict.fromkeys(step for one in readings for step in one.next_steps)),
        )
    known = tuple(_own(one) for one in readings if one.decided and one.value is not None)
    return _as(
        readings,
        value=fused(values=known).value if known else _value_of(best),
        candidates=tuple(one for one in ranked if one.weight > KEPT),
        why=Message("reading.one-fits-all"),
        next_steps=(),
    )


def _value_of(candidate: Candidate) -> Measured:
    """A candidate as a value; its one line holds the phone's clock and all else, so it is kept whole."""
    return Measured(candidate.rev_s, (Line(Message("budget.together"), candidate.u),))


def _own(reading: Reading) -> Measured:
    """A reading's value with the causes of its clip named after it, so that other clips do not share them.

    The instrument's and the phone's own faults keep their names: those are shared.
    """
    value = reading.value
    assert value is not None
    mark = (reading.evidence or reading.at)[:16]
    return Measured(
        value.value,
        tuple(
            replace(line, source=Message("budget.of-clip", cause=line.source, clip=mark))
            if cause(line) in OF_ONE_CLIP
            else line
            for line in value.lines
        ),
    )


def _pool(reading: Reading) -> tuple[Candidate, ...]:
    if reading.decided and reading.value is not None:
        return (Candidate(reading.value.value, reading.value.u, 1.0, term("method", reading.method)),)
    return reading.candidates


def _same(one: Candidate, other: Candidate) -> bool:
    return abs(one.rev_s - other.rev_s) < 3 * math.hypot(one.u, other.u, SAME_RUN * one.rev_s)


def _as(
    readings: tuple[Reading, ...],
    *,
    value: Measured | None,
    candidates: tuple[Candidate, ...],
    why: Message,
    next_steps: tuple[Message | str, ...],
) -> Reading:
    first = readings[0]
    return Reading(
        shaft=first.shaft,
        condition=first.condition,
        method="fused",
        value=value,
        decided=value is not None,
        candidates=candidates,
        at=max(one.at for one in readings),
        why=why,
        next_steps=next_steps,
        confirmed=value is not None and any(one.confirmed and one.decided for one in readings),
        hunting=max((one.hunting for one in readings if one.hunting is not None), default=None),
        evidence=first.evidence,
    )
