"""Find pools of one setting that contradict each other: then none of them clears anything."""

import math
from collections.abc import Iterator, Sequence
from itertools import combinations

from snath.decisions.machine.condition_words import condition_term
from snath.decisions.machine.parts import Machine
from snath.decisions.reading.sample import APART
from snath.decisions.verdict.conditions import ORDER
from snath.decisions.verdict.pools import Pool
from snath.quantities.message import Message


def contradictions(machine: Machine, pools: Sequence[Pool]) -> Iterator[Message]:
    """Pools of one shaft and condition too far apart, and of one shaft in the wrong order of their conditions.

    A mere indication slower than the other gives no cause to doubt it.
    """
    told = [pool for pool in pools if pool.steady and pool.condition in ORDER]
    for one, other in combinations(told, 2):
        if one.shaft != other.shaft or min(one, other, key=lambda pool: pool.value.value).indication:
            continue
        if one.condition == other.condition:
            if abs(one.value.value - other.value.value) > _explained(one, other):
                yield Message(
                    "verdict.disagree", shaft=one.shaft, condition=condition_term(machine, one.condition)
                )
            continue
        slow, fast = sorted((one, other), key=lambda pool: ORDER.index(pool.condition))
        if slow.value.value - fast.value.value > _explained(slow, fast):
            yield Message(
                "verdict.wrong-order",
                faster=condition_term(machine, slow.condition),
                slower=condition_term(machine, fast.condition),
            )


def _explained(one: Pool, other: Pool) -> float:
    """How far apart two pools of one speed may lie: three combined uncertainties, or all that is bounded. [rev/s]"""
    return max(APART * math.hypot(one.plain.u, other.plain.u), one.off + other.off)
