"""Take the readings of one setting with one instrument as one sample, however often somebody looked."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from statistics import fmean

from snath.decisions.reading.budget import RESOLUTION, SCATTERS, STATED, cause, taken
from snath.decisions.reading.reading import Reading
from snath.formulas.conformity import look_factor
from snath.quantities.measured import Line, Measured
from snath.quantities.message import Message

APART = 3.0  # combined standard uncertainties from which two readings are not of one speed (common practice)
SHARE = 0.005  # scatter of single displayed speeds, assumed (common practice, no source)
LEAST = 15 / 60  # the same, at the least [rev/s]
WORTH = 2  # readings that assumption is worth beside those that were taken
EXACT = 1e-9  # rev/s; a doubt under this is none
# On a doubt that comes with each reading, where there are several, and where another sample was looked at before:
# counted, see docs/verdict.md.
AGAIN, BESIDE = 1.25, 1.68
# On the limit's own doubt, which every look meets again, where there may have been several: likewise.
MET_AGAIN = 1.1


@dataclass(frozen=True, slots=True)
class Sample:
    """What readings come to.

    Attributes
    ----------
    value : Measured
        Their mean, its scatter widened because somebody may have stopped where it pleased. [rev/s]
    plain : Measured
        The same without that, for comparing two samples. [rev/s]
    off : float
        Half width of what is only bounded, to be taken whole to either side: half the last digit. [rev/s]
    apart : bool
        Whether two of them lie too far from each other to be of one speed.
    met_again : float
        Factor on the doubt of a limit they are held against: somebody may have looked more than once.
    """

    value: Measured
    plain: Measured
    off: float
    apart: bool
    met_again: float


def sample(readings: Sequence[Reading], *, first: bool = True) -> Sample:
    """One sample from decided readings of one setting, shaft, condition and instrument.

    `first` says whether no other sample of the setting was looked at before: who reads at another place, or with
    another instrument, until something passes has looked as often.

    Speeds read off a display scatter by what they show and by what is assumed of them, pooled: two readings' worth of
    `SHARE`, at least `LEAST`. Where each reading brings a doubt of its own (stated, or from a recording) that
    doubt stays whole, the finer ones counting for more: whether it is common to all of them nobody knows.
    """
    if all(brings_its_own(one) for one in readings):
        return _of_own_doubts(readings, first=first)
    shown = [speed for one in readings for speed in _shown(one)]
    mean, count = fmean(shown), len(shown)
    assumed, dof = max(SHARE * mean, LEAST), WORTH + count - 1
    squares = WORTH * assumed**2 + sum((speed - mean) ** 2 for speed in shown)
    u = math.sqrt(squares / dof / count)
    common, off = _common(readings)
    where = taken(readings[0].shaft, readings[0].condition, readings[0].at)
    name = Message("budget.scatter", count=count, **where)
    widened = u * look_factor(looks=count, dof=dof, first=first)
    return Sample(
        Measured(mean, (*common, Line(name, widened, dof))),
        Measured(mean, (*common, Line(name, u, dof))),
        off,
        max(shown) - min(shown) > APART * math.sqrt(2) * assumed,
        MET_AGAIN,
    )


def _of_own_doubts(readings: Sequence[Reading], *, first: bool) -> Sample:
    values = [one.value for one in readings if one.value is not None]
    weights = [1 / max(one.u, EXACT) ** 2 for one in values]
    mean, u = (
        math.fsum(w * x for w, x in zip(weights, shares, strict=True)) / math.fsum(weights)
        for shares in ([one.value for one in values], [one.u for one in values])
    )
    finest = min(values, key=lambda one: one.u)
    plain = u / max(finest.u, EXACT)
    once = len(values) == 1 and first
    again = plain * max(AGAIN if len(values) > 1 else 1.0, 1.0 if first else BESIDE)
    _, off = _common(readings)
    apart = any(abs(a.value - b.value) > APART * math.hypot(a.u, b.u) for a, b in combinations(values, 2))

    def with_doubt(factor: float) -> Measured:
        lines = (line for line in finest.lines if cause(line) != RESOLUTION)
        return Measured(mean, tuple(replace(line, u=line.u * factor) for line in lines))

    return Sample(with_doubt(again), with_doubt(plain), off, apart, 1.0 if once else MET_AGAIN)


def brings_its_own(reading: Reading) -> bool:
    assert reading.value is not None
    return not reading.repeats or any(cause(line) == STATED for line in reading.value.lines)


def _shown(reading: Reading) -> list[float]:
    """The single speeds of a reading, with what its instrument is known to be off by taken off. [rev/s]"""
    assert reading.value is not None
    if not reading.repeats:
        return [reading.value.value]
    factor = reading.value.value / fmean(reading.repeats)
    return [speed * factor for speed in reading.repeats]


def _common(readings: Sequence[Reading]) -> tuple[tuple[Line, ...], float]:
    """Lines all of them share, of the reading that has most of it, and half the last digit. [rev/s]"""
    lines = [line for one in readings if one.value is not None for line in one.value.lines]
    digit = max((line.u * math.sqrt(3) for line in lines if cause(line) == RESOLUTION), default=0.0)
    most: dict[Message | str, Line] = {}
    for line in lines:
        if cause(line) in (*SCATTERS, RESOLUTION):
            continue
        most[line.source] = max(most.get(line.source, line), line, key=lambda one: one.u)
    return tuple(most.values()), digit
