"""Throw marks of a turning shaft at a pick-up: the angle is made first, faults are added to moments."""

from dataclasses import dataclass

import numpy as np

GRID_S = 0.0004


@dataclass(frozen=True)
class Log:
    """A list of pulses and the truth behind it."""

    t_s: np.ndarray
    marks: int
    kind: str
    missed: float
    clock_s: np.ndarray
    turns: np.ndarray

    def speed_over(self, start: float, end: float) -> float:
        """Turns made between two moments over the time between them. [rev/s]"""
        return float(np.diff(np.interp([start, end], self.clock_s, self.turns))[0] / (end - start))


def layout(kind: str, marks: int, closest: float, rng: np.random.Generator) -> np.ndarray:
    """Places on the turn, none closer than that."""
    if kind == "places":
        grid = int(rng.integers(max(marks, 2), min(max(3 * marks, 8), 100) + 1))
        return np.sort(rng.choice(grid, marks, replace=False)) / grid
    if kind == "nearly even":
        return (np.arange(marks) + rng.uniform(-0.3, 0.3, marks)) / marks % 1
    span = rng.uniform(max(0.15, 2 * closest * marks), 0.9) if kind in ("crowded", "pair") else 1.0
    room = max(span - marks * closest, 0.0)
    return np.sort(rng.uniform(0, room, marks)) + closest * np.arange(marks)


def drawn_marks(low: int, high: int, rng: np.random.Generator) -> int:
    """Few as often as many: even on a scale of logarithms."""
    return int(np.exp(rng.uniform(np.log(low), np.log(high + 0.99))))


def course(way: str, speed: float, t: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """Speed the governor holds. [rev/s]"""
    length, sign = t[-1], rng.choice([-1, 1])
    if way == "drift":
        return speed * (1 + sign * rng.uniform(0, 0.02) * t / length)
    if way == "ramp":
        return speed * (1 + sign * rng.uniform(0.02, 0.08) * t / length * min(length, 5))
    if way == "swing":
        return speed * (1 + rng.uniform(0.005, 0.04) * np.sin(2 * np.pi * rng.uniform(0.5, 2.5) * t))
    if way == "step":
        return speed * (
            1 - sign * rng.uniform(0.02, 0.1) * (1 - np.exp(-np.clip(t - length / 2, 0, None) / 0.2))
        )
    return np.full_like(t, speed)


def log(
    given: dict, rng: np.random.Generator, *, missed: float | None = None, kind: str | None = None
) -> Log:
    """One log drawn from the ranges under `pulses.spun`."""
    kind = kind or str(rng.choice(given["layouts"]))
    marks = 2 if kind == "pair" else drawn_marks(*given["marks"], rng)
    places = layout(kind, marks, given["closest"], rng)
    speed = np.exp(rng.uniform(*np.log(given["rev_s"])))
    seconds = max(rng.uniform(*given["seconds"]), given["fewest_turns"] / speed)
    t = np.arange(0, seconds, GRID_S)
    held = course(str(rng.choice(given["ways"])), speed, t, rng)
    turns = np.concatenate([[0], np.cumsum((held[1:] + held[:-1]) / 2 * GRID_S)])
    cycle = int(rng.integers(1, 3))
    knots = np.arange(0, turns[-1] + cycle, cycle)
    late = np.cumsum(rng.standard_normal(len(knots))) * rng.uniform(*given["jitter"]) * cycle
    turns = turns + np.interp(turns, knots, late)
    swing = rng.uniform(*given["within_turn"]) * cycle / (2 * np.pi)
    turns = turns + swing * np.sin(2 * np.pi * turns / cycle + rng.uniform(0, 6))
    turns = np.maximum.accumulate(turns) + 1e-12 * np.arange(len(turns))
    passed = (np.arange(np.ceil(turns[-1]))[:, None] + places).ravel()
    true = np.interp(passed[(passed > turns[0]) & (passed < turns[-1])], turns, t)
    share = float(rng.choice(given["missed"])) if missed is None else missed
    kept = true[rng.random(len(true)) >= share]
    again = kept[rng.random(len(kept)) < rng.choice(given["bounced"])]
    again = again + rng.uniform(0.02, 1, len(again)) * min(given["bounce_s"], 0.3 / (speed * marks))
    noise = []
    for _ in range(int(rng.choice(given["bursts"]))):
        start, long = rng.uniform(0, seconds), rng.uniform(*given["burst_s"])
        noise.append(
            start
            + rng.uniform(0, long, rng.poisson(long * rng.uniform(*given["burst_rate"]) * speed * marks))
        )
    tick = np.exp(rng.uniform(*np.log(given["tick_s"])))
    every = np.sort(np.concatenate([kept, again, *noise]))
    every = np.round(every[every < seconds] / tick) * tick
    return Log(every, marks, kind, share, t, turns)
