"""Let marks induce a voltage and a comparator answer it: weak marks go missing, noise bounces, sparks ring."""

import math
from typing import NamedTuple

import numpy as np


class Wave(NamedTuple):
    """Moments at which the comparator turned on, with the shaft's true angle beside them."""

    t_s: np.ndarray
    marks: int
    kind: str
    missed: float
    clock_s: np.ndarray
    turns: np.ndarray

    def speed_over(self, start: float, end: float) -> float:
        """Turns made between two moments over the time between them. [rev/s]"""
        first, last = (float(np.interp(at, self.clock_s, self.turns)) for at in (start, end))
        return (last - first) / (end - start)


def flywheel(speed: float, seconds: float, rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    """Angle of a flywheel pushed by every second turn's gas torque and held by a slow governor."""
    step = 1 / (speed * 90)
    count = int(seconds / step)
    strokes = int(rng.choice([2, 4]))
    push = rng.uniform(0, 0.04) * speed**2  # rev/s^2 at its height
    differ = rng.uniform(0, 0.25)
    drift, lean, period = rng.uniform(-0.01, 0.01), rng.uniform(0, 0.02), rng.uniform(0.6, 6)
    angle, rate, strong = 0.0, speed, 1.0
    turns = np.empty(count)
    width, cycle = 0.12, strokes / 2
    mean_push = push * width / cycle * 2 / math.pi
    shaken = rng.standard_normal(int(seconds * speed * 1.5) + 4)
    for i in range(count):
        turns[i] = angle
        place = angle % cycle
        strong = 1 + differ * shaken[int(angle / cycle)]
        gas = push * strong * math.sin(math.pi * place / width) if place < width else 0.0
        now = i * step
        asked = speed * (1 + drift * now + lean * math.sin(2 * math.pi * now / period))
        rate += step * (gas - mean_push + 6 * (asked - rate))
        angle += step * rate
    return np.arange(count) * step, turns


def log(given: dict, rng: np.random.Generator, *, marks: int | None = None) -> Wave:
    """One log drawn from the ranges under `pulses.waved`."""
    low, high = given["marks"]
    marks = marks or min(high, int(low * (high / low) ** rng.random() * 1.02))
    gaps = rng.exponential(1.0, marks) if rng.random() < 0.8 else rng.uniform(0.7, 1.3, marks)
    gaps = given["closest"] + (1 - marks * given["closest"]) * gaps / gaps.sum()
    places = np.cumsum(gaps) % 1
    order = np.argsort(places)
    places, heights = places[order], 1 + rng.uniform(*given["height_off"]) * rng.uniform(-1, 1, marks)
    speed = math.exp(rng.uniform(*np.log(given["rev_s"])))
    seconds = max(rng.uniform(*given["seconds"]), given["fewest_turns"] / speed)
    clock, turns = flywheel(speed, seconds, rng)
    width = max(given["width"], 0.15 / marks * 0.1)
    t = np.arange(0, clock[-1], min(rng.uniform(*given["sample_s"]), width / speed / 6))
    at = np.interp(t, clock, turns)
    on_turn = at % 1
    after = np.searchsorted(places, on_turn) % marks
    volts = np.zeros_like(t)
    for near in (after, (after - 1) % marks):
        off = (on_turn - places[near] + 0.5) % 1 - 0.5
        volts += heights[near] * -(off / width) * np.exp(0.5 - (off / width) ** 2 / 2)
    volts *= 1 + rng.uniform(*given["runout"]) * np.cos(2 * np.pi * at + rng.uniform(0, 6))
    volts += rng.uniform(*given["noise"]) * rng.standard_normal(len(t))
    for start in rng.uniform(0, t[-1], rng.poisson(float(rng.choice(given["spikes_s"])) * t[-1])):
        since = t - start
        ring = (since >= 0) & (since < 0.003)
        volts[ring] += (
            rng.uniform(0.5, 3) * np.exp(-since[ring] / 0.0008) * np.sin(2 * np.pi * 4000 * since[ring])
        )
    level = rng.uniform(*given["level"])
    low_level = -0.05
    # a comparator: on over `level`, off under `low_level`
    state = np.where(volts > level, 1, np.where(volts < low_level, -1, 0))
    held = np.flatnonzero(state)
    ups = held[1:][(state[held[1:]] == 1) & (state[held[:-1]] == -1)]
    passages = marks * (turns[-1] - turns[0])
    missed = max(0.0, 1 - len(ups) / passages)
    return Wave(t[ups], marks, "wave", missed, clock, turns)
