"""Find pools of one setting that contradict each other: then none of them clears anything."""

import math
from collections.abc import Iterator, Sequence
from itertools import combinations

from snath.decisions.machine.condition_words import condition_term
from snath.decisions.machine.drivetrain import slip_at_no_load, speed_ratios
from snath.decisions.machine.parts import Condition, Machine
from snath.decisions.reading.sample import APART
from snath.decisions.verdict.conditions import ORDER
from snath.decisions.verdict.pools import Pool
from snath.quantities.measured import Measured
from snath.quantities.message import Amount, Message

# In this condition two shafts can be held beside one another: loads differ from look to look, and with them engine
# speed and slip; with the blades off nothing drives them.
TOGETHER: Condition = "blades in air"


def contradictions(machine: Machine, pools: Sequence[Pool]) -> Iterator[Message]:
    """Pools of one condition too far apart for their shaft or drive, and conditions of one shaft in the wrong order.

    A mere indication slower than the other gives no cause to doubt it.
    """
    told = [pool for pool in pools if pool.steady and pool.condition in ORDER]
    for one, other in combinations(told, 2):
        if one.shaft != other.shaft:
            if one.condition == other.condition == TOGETHER and not (one.indication or other.indication):
                yield from _against_the_drive(machine, one, other)
            continue
        if min(one, other, key=lambda pool: pool.value.value).indication:
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


def _against_the_drive(machine: Machine, one: Pool, other: Pool) -> Iterator[Message]:
    """Two shafts read at speeds that no slip and no way to see the drive makes of one another."""
    down, up = slip_at_no_load(machine, of=other.shaft, per=one.shaft)
    ways = [ratio.value for ratio in speed_ratios(machine, of=other.shaft, per=one.shaft)]
    over = [_explained_behind(way, one, other) for way in ways]
    made = [way.value * one.value.value for way in ways]
    low = min(speed * (1 - down) - room for speed, room in zip(made, over, strict=True))
    high = max(speed / (1 - up) + room for speed, room in zip(made, over, strict=True))
    if not low <= other.value.value <= high:
        yield Message(
            "verdict.against-the-drive",
            shaft=one.shaft,
            speed=Amount(one.value.value, "rotation"),
            behind=other.shaft,
            read=Amount(other.value.value, "rotation"),
        )


def _explained_behind(way: Measured, one: Pool, other: Pool) -> float:
    """As `_explained`, the first pool and its doubt carried to the other's shaft, the ratio's own with it. [rev/s]"""
    carried = way.value * math.hypot(one.plain.u, one.value.value * way.u / way.value)
    return max(APART * math.hypot(carried, other.plain.u), way.value * one.off + other.off)


def _explained(one: Pool, other: Pool) -> float:
    """How far apart two pools of one speed may lie: three combined uncertainties, or all that is bounded. [rev/s]"""
    return max(APART * math.hypot(one.plain.u, other.plain.u), one.off + other.off)
