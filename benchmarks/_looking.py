"""Let somebody read a machine again and again, and say after which looks it passes.

The verdict itself is asked, but only where it could pass at all: what every pass needs is worked out for all runs at
once, and looks beyond it are skipped.
"""

from dataclasses import dataclass

import numpy as np

from snath.decisions.reading.sample import LEAST, SHARE, WORTH
from snath.decisions.verdict.band import Bench, Way
from snath.decisions.verdict.claims import Claim, wanted_condition
from snath.decisions.verdict.conditions import span
from snath.decisions.verdict.decide import case_of, claims_of
from snath.formulas.conformity import coverage_factor, look_factor

ROUNDING = 0.995  # of a guard: what is skipped lies clearly beyond it
PROBABILITY = 0.95
Item = tuple[str, str, str, str]  # member, rule, side and kind of a limit


@dataclass(frozen=True, slots=True)
class Asked:
    """Which limit a machine stands on, and how it is read: look after look."""

    bench: Bench
    limit: Item
    looks: tuple[Way, ...]


def passes(asked: Asked, shown: np.ndarray) -> np.ndarray:
    """For every run, after which of its looks it passes; `shown` holds displayed speeds [rev/s], a row a run."""
    found = np.zeros(shown.shape, bool)
    for run, look in np.argwhere(_hopeful(asked, shown)):
        readings = zip(asked.looks[: look + 1], shown[run, : look + 1].tolist(), strict=True)
        found[run, look] = asked.bench.passes(*readings)
    return found


def claim_of(asked: Asked, way: Way, near: float) -> Claim:
    """What one reading of that kind says of the limit. [rev/s]"""
    bench = asked.bench
    case = case_of(
        bench.machine, bench.limits, [way.reading(near)], tools=bench.tools, decision=bench.decision
    )
    for one in (group[0] for group in claims_of(case)):
        bound = one.bound
        if (bound.member, bound.rule, bound.side, bound.kind) == asked.limit and not one.under_load:
            return one
    raise LookupError(asked.limit)


def _hopeful(asked: Asked, shown: np.ndarray) -> np.ndarray:
    """Looks after which a pass is possible: some sample's mean clears the limit by its own scatter's guard."""
    sign = 1.0 if asked.limit[2] == "ceiling" else -1.0
    hopeful = np.zeros(shown.shape, bool)
    for way in dict.fromkeys(asked.looks):
        places = [place for place, one in enumerate(asked.looks) if one == way]
        one = claim_of(asked, way, float(shown[:, places[0]].mean()))
        if not one.clears or one.pool.blocks:
            continue
        met, share = _met_at(asked, one), one.pool.off / one.pool.value.value
        for count, place in enumerate(places, start=1):
            mean, guard = _sample(shown[:, places[:count]], way, alone=way == asked.looks[0])
            clears = sign * (met - mean * (1 + sign * ROUNDING * share)) >= ROUNDING * guard
            until = places[count] if count < len(places) else shown.shape[1]
            hopeful[:, place:until] |= clears[:, None]
    return hopeful


def _met_at(asked: Asked, one: Claim) -> float:
    """Speed of the shaft that was read at which the limit is met, in the worst of its alternatives. [rev/s]"""
    machine = asked.bench.machine
    wanted = wanted_condition(machine, one.bound, under_load=False)
    slower, faster = span(machine.engine, read=one.pool.condition, wanted=wanted, hunts=False)
    return one.bound.believed.value / (faster if one.bound.side == "ceiling" else slower)


def _sample(speeds: np.ndarray, way: Way, *, alone: bool) -> tuple[np.ndarray, np.ndarray]:
    """Mean, and the least guard that its own scatter asks for. [rev/s]"""
    mean, count = speeds.mean(axis=1), speeds.shape[1]
    guard = coverage_factor(probability=PROBABILITY)
    if way.stated_u is not None:
        return mean, np.full(len(mean), guard * way.stated_u)
    dof = WORTH + count - 1
    squares = WORTH * np.maximum(SHARE * mean, LEAST) ** 2 + ((speeds - mean[:, None]) ** 2).sum(axis=1)
    return mean, guard * look_factor(looks=count, dof=dof, first=alone) * np.sqrt(squares / dof / count)
