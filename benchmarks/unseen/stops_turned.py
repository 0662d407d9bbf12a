"""Spend a blade's energy turn by turn and time the passages of its marks: no equation of motion is stepped."""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

PARTS = 240  # of a turn, each with its own cost


class Passages(NamedTuple):
    """Speeds between passages, the marked release, and when it stood still after it."""

    t_s: np.ndarray
    rev_s: np.ndarray
    u: float
    release_s: float
    truth_s: float
    kind: str
    seen_to: float


def costs(
    kind: str, turns: float, at: float, left: float, rng: np.random.Generator
) -> Callable[[float, float], float]:
    """Share of the first energy that one turn costs, by speed share and by energy already spent."""
    air, oil = rng.uniform(0, 0.6), rng.uniform(0, 0.5)
    base = rng.uniform(0.1, 0.5) / turns

    def cost(speed: float, spent: float) -> float:
        free = base * (0.25 + oil * speed + air * speed * speed)
        grip = 1 / turns
        if kind == "hot brake":
            grip *= 1 - 0.75 * spent
        elif kind == "glazed":
            grip *= 1.0 if speed > at else left
        elif kind == "clutch drags":
            grip *= 1.0 if speed > at else 0.3 * left
            free *= 1.0 if speed > at else 0.6
        elif kind == "belt off":
            grip *= 1.0 if speed > at else 0.0
        return free + grip

    return cost


def stop(
    given: dict, rng: np.random.Generator, *, kind: str | None = None, seen_to: float | None = None
) -> Passages:
    """One stop drawn from the ranges under `stops.turned`."""
    kind = kind or str(rng.choice(given["kinds"]))
    speed, turns = rng.uniform(*given["rev_s"]), rng.uniform(*given["turns"])
    cost = costs(kind, turns, rng.uniform(*given["changes_at"]), rng.uniform(*given["left_over"]), rng)
    energy, angle, now, spent = 1.0, 0.0, 0.0, 0.0
    angles, times = [0.0], [0.0]
    while energy > 0 and angle < 20_000:
        share = energy**0.5
        step = cost(share, spent) / PARTS
        fine = 1 / PARTS
        if step >= energy:  # the last bit: constant braking to nothing
            fine *= energy / step
            now += 2 * fine / (share * speed)
            angle += fine
            angles.append(angle)
            times.append(now)
            break
        following = energy - step
        now += 2 * fine / ((share + following**0.5) * speed)
        angle += fine
        spent, energy = spent + step, following
        angles.append(angle)
        times.append(now)
    truth, before = now, rng.uniform(0.8, 2.0)
    each = int(rng.choice(given["passages"]))
    first = rng.uniform(0, 1 / each)
    # a good share of a second at speed before the release, then the falling turns
    marks = np.arange(-np.floor(before * speed * each) / each, angle, 1 / each) + first
    true = np.where(marks < 0, marks / speed, np.interp(marks, angles, times)) + before
    true = true[marks < angle]
    timing = rng.uniform(*given["timing"])
    gap_speed = np.gradient(marks[marks < angle], true)
    moments = np.sort(true + timing / gap_speed * rng.standard_normal(len(true)) * (gap_speed > 0.05 * speed))
    between = np.maximum(np.diff(moments), 1e-5)
    middle = (moments[1:] + moments[:-1]) / 2
    # a pick-up that counts for at least 50 ms: several passages make one point while it is fast
    group = np.floor(middle / 0.05).astype(int)
    _, begin, count = np.unique(group, return_index=True, return_counts=True)
    points_t = np.add.reduceat(middle, begin) / count
    points_n = count / each / np.add.reduceat(between, begin)
    under = float(rng.choice(given["lost_under"])) if seen_to is None else seen_to
    seen = np.cumsum(points_n < under * speed) == 0
    u = 1.5 * timing * speed / np.sqrt(np.median(count)) * each**0.5
    release = before + given["u_release"] * rng.standard_normal()
    return Passages(points_t[seen], points_n[seen], u, release, truth, kind, under)
