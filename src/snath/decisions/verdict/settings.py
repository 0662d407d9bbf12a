"""Part the readings of a machine into settings: what was read before the adjuster was turned is history."""

import math
from collections.abc import Iterable, Sequence

from snath.decisions.reading.budget import is_of
from snath.decisions.reading.reading import Reading
from snath.decisions.reading.sample import APART, sample
from snath.quantities.measured import Measured

Setting = tuple[Reading, ...]


def settings(readings: Iterable[Reading], *, before: Setting = ()) -> tuple[Setting, ...]:
    """Settings in their order; the last one stands. Withdrawn readings are in none.

    A new one begins at a reading before which something was turned, and only where it is clearly apart from the last:
    otherwise somebody could read until it passes and call each reading a setting. What was turned before a withdrawn
    reading was turned all the same. `before` is the setting in which the machine was found, if the readings are of it
    as left.
    """
    parts: list[list[Reading]] = [[]]
    turned = False
    for reading in readings:
        turned = turned or bool(reading.turned)
        if reading.withdrawn is not None:
            continue
        if turned and parts[-1]:
            parts.append([])
        turned = False
        parts[-1].append(reading)
    found: list[Setting] = [before] if before else []
    for part in (tuple(part) for part in parts if part):
        if found and not _clearly_apart(found[-1], part):
            found[-1] = (*found[-1], *part)
        else:
            found.append(part)
    return tuple(found)


def turned_since(readings: Iterable[Reading]) -> bool:
    """Whether something was turned after the last reading that counts: only withdrawn ones tell of it."""
    turned = False
    for reading in readings:
        turned = (turned or bool(reading.turned)) and reading.withdrawn is not None
    return turned


def _clearly_apart(one: Setting, other: Setting) -> bool:
    """Whether any sample of the same shaft, condition and instrument moved, or none can be compared."""
    first, second = _samples(one), _samples(other)
    both = first.keys() & second.keys()
    if not both:
        return True
    for key in both:
        a, b = (sample(group).plain for group in (first[key], second[key]))
        if abs(a.value - b.value) > APART * math.hypot(_own(a, key[-1]), _own(b, key[-1])):
            return True
    return False


def _own(value: Measured, instrument: str) -> float:
    """Standard uncertainty without what the instrument brings to both. [rev/s]"""
    return math.hypot(*(line.u for line in value.lines if not is_of(line, instrument)))


def _samples(setting: Setting) -> dict[tuple[str, str, str], Sequence[Reading]]:
    groups: dict[tuple[str, str, str], list[Reading]] = {}
    for one in setting:
        if one.value is not None and not one.unsteady:
            groups.setdefault((one.shaft, one.condition, one.instrument or one.method), []).append(one)
    return {**groups}
