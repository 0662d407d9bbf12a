"""How the speed goes and when the valves let a pulse out: kinematic laws between written ranges, no dynamics.

A run-down follows dn/dt = -k n^p with p under 1, n = n0 (1 - s/T)^(1/(1-p)); lengths of cycles are an AR(1) series, so
that an engine that was late stays late for a while.
"""

from dataclasses import dataclass

import numpy as np
from scipy.interpolate import CubicSpline
from scipy.signal import lfilter

from benchmarks.engines.case import NEVER, Array, Course, Cycles, Engine

GRID = 0.001  # s


@dataclass(frozen=True, slots=True)
class Shaft:
    """Angle over time, and when it was let go and stood. [s], [turn], [s], [s]"""

    t_s: Array
    turns: Array
    released_s: float
    still_s: float

    def when(self, turns: Array) -> Array:
        """Moments of these angles. [s]"""
        return np.interp(turns, self.turns, self.t_s)


def course(asked: Course, g: np.random.Generator) -> tuple[Array, Array]:
    """Moments [s] and the speed asked for [rev/s]."""
    t = np.arange(-0.3, asked.seconds + 0.6, GRID)
    n, late = np.full_like(t, asked.rev_s), np.clip(t - asked.at_s, 0, None)
    if asked.situation == "drift":
        n *= 1 - asked.amount * np.cos(np.pi * np.clip(t / asked.seconds, 0, 1)) / 2
    elif asked.situation == "ramp":
        n *= 1 + asked.amount * (np.clip(t, 0, asked.seconds) - asked.seconds / 2)
    elif asked.situation == "hunting":
        beat = (
            1 - 0.3 * g.random() * (1 + np.sin(2 * np.pi * g.uniform(0.05, 0.3) * t + 6.3 * g.random())) / 2
        )
        wave = np.tanh(2 * np.sin(2 * np.pi * asked.tempo * t + 6.3 * g.random())) / np.tanh(2)
        n *= 1 + asked.amount * beat * wave
    elif asked.situation == "step":
        rise = 1 / (1 + np.exp(-(t - asked.at_s) / (asked.tempo / 4)))
        over = g.uniform(0, 0.5) * late / asked.tempo * np.exp(1 - late / asked.tempo)
        n *= 1 + asked.amount * (rise + over)
    elif asked.situation == "wandering":
        knots = np.arange(t[0] - asked.tempo, t[-1] + 2 * asked.tempo, asked.tempo)
        wave = CubicSpline(knots, g.uniform(-1, 1, len(knots)))(t)
        wave -= (wave.max() + wave.min()) / 2
        n *= 1 + asked.amount * wave / wave.max()
    elif asked.situation == "throttled":
        down = np.clip(late / (2.2 * asked.tempo), 0, 1)
        dip = 0.05 * np.sin(np.pi * np.clip(late / (2.2 * asked.tempo) - 1, 0, 1))
        n += (asked.target - asked.rev_s) * (down + dip)
    elif asked.situation == "run-down":
        n *= np.clip(1 - late / asked.tempo, 0, None) ** (1 / (1 - g.uniform(0, 0.55)))
    return t, n


def shaft(engine: Engine, asked: Course, cycles: Cycles, g: np.random.Generator) -> Shaft:
    """Where the crankshaft is."""
    t, n = course(asked, g)
    turns = np.concatenate([[0], np.cumsum((n[1:] + n[:-1]) / 2 * GRID)])
    marks = np.arange(0, turns[-1], engine.turns)
    due = np.interp(marks, turns, t)
    wander = lfilter([np.sqrt(1 - 0.25)], [1, -0.5], g.standard_normal(len(due))) * cycles.jitter
    # a strong cycle hurries the next one a little
    limp = 0.01 * cycles.alternating * (-1.0) ** np.arange(len(due))
    lengths = np.diff(due) * (1 + wander + limp)[:-1]
    real = due[0] + np.concatenate([[0], np.cumsum(lengths)])
    moments = t + np.interp(t, due, real - due)
    released = asked.at_s if asked.situation == "run-down" else NEVER
    return Shaft(moments, turns, released, released + asked.tempo)


def pulses(
    engine: Engine, going: Shaft, asked: Course, cycles: Cycles, t: Array, g: np.random.Generator
) -> tuple[Array, Array]:
    """Flow out of the valves over time, and how far they stand open (0 to 1)."""
    turns = np.interp(t, going.t_s, going.turns)
    flow, open_ = np.zeros_like(t), np.zeros_like(t)
    rise, fall = g.uniform(1.0, 3.0), g.uniform(0.02, 0.09)  # of a gamma's shape, and turns to its peak
    wide = g.uniform(0.5, 0.68) if engine.strokes == 4 else g.uniform(0.38, 0.46)  # turns the valve is open
    count = int(going.turns[-1] / engine.turns) + 2
    shake = np.exp(cycles.scatter * g.standard_normal((count, len(engine.firings))))
    shake *= 1 + cycles.alternating * (-1.0) ** np.arange(count)[:, None]
    shake[g.random(shake.shape) < cycles.misfires] = g.uniform(0.02, 0.15)
    kind = 1 + 0.08 * g.standard_normal(len(engine.firings))
    puff = g.uniform(0.03, 0.12) * g.choice([-1.0, 1.0])
    for i, place in enumerate(engine.firings):
        at = turns - place * engine.turns
        number = np.floor(at / engine.turns).astype(int)
        since = at - number * engine.turns
        fires = going.when((np.arange(count) + place) * engine.turns) < going.released_s
        strength = np.where(fires, shake[:, i] * kind[i], puff)[np.clip(number, 0, count - 1)]
        shape = since / fall
        flow += strength * np.where(since < wide, shape**rise * np.exp(rise * (1 - shape)), 0)
        open_ += np.where(since < wide, np.sin(np.pi * np.clip(since / wide, 0, 1)), 0)
    if asked.situation == "throttled":
        down = np.clip((t - asked.at_s) / (2.2 * asked.tempo), 0, 1)
        flow *= 10 ** (-asked.quieter_db / 20 * down)
    return flow, np.clip(open_, 0, 1)
