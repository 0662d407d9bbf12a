"""Draw the wave of every cycle from a small library of shapes, and the angle it is played along.

Nothing here is gas or pipe: as measured cycles do, each is a mean shape and a few ways of differing from it (principal
components in reverse). The speed always wanders a little, as a first-order Gauss-Markov process (Uhlenbeck and
Ornstein 1930).
"""

from dataclasses import dataclass

import numpy as np
from scipy.signal import lfilter

from benchmarks.engines.case import NEVER, Array, Course, Cycles, Engine

GRID = 0.002  # s
POINTS = 360  # of a turn
WAYS = 3  # in which shapes differ from their mean


@dataclass(frozen=True, slots=True)
class Angle:
    """Angle over time, when it was let go and when it stood. [s], [turn], [s], [s]"""

    t_s: Array
    turns: Array
    released_s: float
    still_s: float


def speed(asked: Course, g: np.random.Generator) -> tuple[Array, Array]:
    """Moments [s] and speed [rev/s]."""
    t = np.arange(-0.25, asked.seconds + 0.5, GRID)
    late = np.clip(t - asked.at_s, 0, None)
    kept = np.exp(-GRID / g.uniform(0.3, 1.0))
    unrest = lfilter([np.sqrt(1 - kept**2)], [1, -kept], g.standard_normal(len(t) + 2000))[2000:]
    n = asked.rev_s * (1 + g.uniform(0.0003, 0.002) * unrest)
    if asked.situation == "drift":
        n *= 1 + asked.amount * (np.exp(-t / asked.seconds) - 0.6) / 0.63
    elif asked.situation == "ramp":
        begin, end = asked.seconds * g.uniform(0, 0.25), asked.seconds * g.uniform(0.75, 1)
        n *= 1 + asked.amount * (np.clip(t, begin, end) - (begin + end) / 2)
    elif asked.situation == "hunting":
        pace = asked.tempo * (1 + 0.1 * np.sin(2 * np.pi * 0.2 * t + 6.3 * g.random()))
        n *= 1 + asked.amount * np.sin(2 * np.pi * np.cumsum(pace) * GRID + 6.3 * g.random())
    elif asked.situation == "step":
        x = np.clip(late / asked.tempo, 0, 1)
        ring = np.exp(-late / asked.tempo) * np.sin(2 * np.pi * late * g.uniform(0.8, 2)) * g.uniform(0, 0.4)
        n *= 1 + asked.amount * (x * x * (3 - 2 * x) + ring)
    elif asked.situation == "wandering":
        f = np.fft.rfftfreq(len(t), GRID)
        wide = (f > 0) * np.exp(-((f * 2 * asked.tempo) ** 2))
        wave = np.fft.irfft(wide * (g.standard_normal(len(f)) + 1j * g.standard_normal(len(f))), len(t))
        wave -= (wave.max() + wave.min()) / 2
        n *= 1 + asked.amount * wave / np.abs(wave).max()
    elif asked.situation == "throttled":
        down = 1 / (1 + (late / asked.tempo) ** 2)
        n = n * down + asked.target * (1 - down) * n / asked.rev_s
    elif asked.situation == "run-down":
        left = np.clip(1 - late / asked.tempo, 0, None)
        straight = g.uniform(0.2, 1.0)
        n *= straight * left + (1 - straight) * left**2
    return t, np.maximum(n, 0)


def angle(engine: Engine, asked: Course, cycles: Cycles, g: np.random.Generator) -> Angle:
    """Where the crankshaft is, every cycle a little longer or shorter."""
    t, n = speed(asked, g)
    turns = np.concatenate([[0], np.cumsum((n[1:] + n[:-1]) / 2 * GRID)])
    marks = np.arange(0, turns[-1], engine.turns)
    due = np.interp(marks, turns, t)
    # forgets from cycle to cycle
    late = cycles.jitter * np.diff(due, append=due[-1] + 0.02) * g.standard_normal(len(due))
    moments = np.maximum.accumulate(t + np.interp(t, due, late))
    released = asked.at_s if asked.situation == "run-down" else NEVER
    return Angle(moments, turns, released, released + asked.tempo)


def waves(engine: Engine, going: Angle, cycles: Cycles, loud: Array, g: np.random.Generator) -> Array:
    """The sound on the angle, `POINTS` a turn, `loud` for each turn of the cycle's beginning."""
    whole = POINTS * engine.turns
    count = int(going.turns[-1] / engine.turns) + 2
    number = np.arange(count)
    begins = np.interp(number * engine.turns, going.turns, going.t_s)
    level = np.interp(begins, going.t_s, loud)
    total = np.zeros(count * whole)
    shapes = library(whole, engine.turns, g)
    for place in engine.firings:
        fires = np.interp((number + place) * engine.turns, going.turns, going.t_s) < going.released_s
        strength = (1 + 0.06 * g.standard_normal()) * (1 + cycles.alternating * (-1.0) ** number)
        strength = strength * np.clip(1 + cycles.scatter * g.standard_normal(count), 0.05, None)
        strength = np.where(g.random(count) < cycles.misfires, g.uniform(0, 0.1), strength)
        strength = np.where(fires, strength, g.uniform(0.01, 0.08))
        ways = cycles.scatter * g.standard_normal((count, WAYS))
        ways[:, 0] += (
            0.5 * cycles.alternating * (-1.0) ** number
        )  # a weak cycle is a slow one: another shape, too
        mixed = strength[:, None] * (shapes[0] + ways @ shapes[1:]) * level[:, None]
        total += np.roll(mixed.ravel(), round(place * whole))
    return total


def library(whole: int, turns: int, g: np.random.Generator) -> Array:
    """A mean shape of one firing and `WAYS` others: a few decaying swings each, of random pitch on the angle."""
    phi = np.arange(whole) / POINTS
    made = []
    for _ in range(1 + WAYS):
        swings = g.integers(3, 7)
        pitch, lasts = np.exp(g.uniform(np.log(0.6), np.log(25), swings)), g.uniform(0.03, 0.3, swings)
        loud = g.standard_normal(swings) / np.sqrt(pitch)
        shape = (
            loud[:, None] * np.exp(-phi / lasts[:, None]) * np.sin(2 * np.pi * np.outer(pitch, phi))
        ).sum(axis=0)
        shape -= shape.mean()
        made.append(shape / np.sqrt(np.sum(shape**2)))
    return np.array(made) * turns
