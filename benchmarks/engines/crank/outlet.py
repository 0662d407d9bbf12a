"""From cylinder to open air: blow-down through the exhaust valve, a muffler as transfer matrices, and clicks.

Flow through the valve follows St Venant and Wantzel's nozzle in short form, the pressure behind it a vessel that
empties, (1 + s)^(-2 gamma / (gamma - 1)) (Shapiro, Compressible Fluid Flow, 1953; from memory). Pipes and chambers are
plane-wave transfer matrices with a complex wave number for losses (Munjal, Acoustics of Ducts and Mufflers, 1987,
ch. 2); far away the sound of an outlet is the rate of change of its flow.
"""

import numpy as np
from scipy.fft import irfft, rfftfreq

from benchmarks.engines.case import Array, Engine
from benchmarks.engines.crank.motion import STEP, Cylinder, Motion

SPEED_OF_SOUND = 450.0  # m/s in hot gas
ANSWER = 8192  # samples of a muffler's answer


def flow(
    engine: Engine, one: Cylinder, motion: Motion, t: Array, loud: Array, g: np.random.Generator
) -> Array:
    """Flow out of all cylinders over time, `loud` for each cycle."""
    points, count = len(one.angle), len(motion.heat)
    alpha = one.angle - 180 * engine.turns  # as seen from this cylinder's firing
    beyond = 360 * engine.turns
    since = (alpha - one.opens) % beyond
    open_for = one.closes - one.opens
    lift = np.where(
        since < open_for, np.sin(np.pi * np.clip(since / open_for, 0, 1)) ** g.uniform(0.8, 2.0), 0.0
    )
    emptied = np.zeros(points)
    order = np.argsort(since)
    emptied[order] = np.cumsum(lift[order]) * STEP
    quick = g.uniform(0.2, 0.4) / float(emptied[order][int(50 / STEP)])
    pushed = g.uniform(0.1, 0.4) * np.clip(one.pushing * -1, 0, None) * (lift > 0)
    full = count * points
    pace = np.ones(full)
    pace[: len(motion.rev_s)] = motion.rev_s / np.median(motion.rev_s)
    total = np.zeros(len(motion.turns))
    opened = int(one.opens / STEP) + int(
        180 * engine.turns / STEP
    )  # place in its cycle where the exhaust opens
    for i, firing in enumerate(engine.firings):
        heat = np.repeat(motion.heat[:, i], points)
        heat = np.roll(heat, opened)  # what was burnt counts from the opening on, into the next cycle
        level = np.roll(np.repeat(loud, points), opened)
        over = one.left + one.left_heated * heat
        shape, gone, stroke = (np.tile(x, count) for x in (lift, emptied, pushed))
        place = round(firing * points)
        if place:
            shape, gone, stroke, over, level = (np.roll(x, place) for x in (shape, gone, stroke, over, level))
        behind = over * (1 + quick * gone / np.maximum(pace, 0.05)) ** -7.0
        out = (shape * behind / np.sqrt(np.abs(behind) + 0.3) + stroke * pace) * level
        total += out[: len(total)]
    return np.interp(t, motion.t_s, total, right=0.0)


def clicks(engine: Engine, motion: Motion, count: int, rate: float, g: np.random.Generator) -> Array:
    """Valves, piston and gears: one or two knocks a cycle at fixed places, each of its own strength."""
    train = np.zeros(count + 1)
    for _ in range(g.integers(1, 4)):
        angle = np.arange(g.random() * engine.turns, motion.turns[-1], engine.turns)
        at = np.interp(angle, motion.turns, motion.t_s)
        inside = (at >= 0) & (at < count / rate)
        strength = g.uniform(0.2, 1) * np.exp(0.3 * g.standard_normal(len(at)))
        np.add.at(train, (at[inside] * rate).astype(int), strength[inside])
    return train[:count]


def knock(rate: float, g: np.random.Generator) -> Array:
    """What one knock rings: castings between 0.7 and 5 kHz."""
    t = np.arange(int(0.02 * rate)) / rate
    tones = [
        np.exp(-g.uniform(150, 900) * t) * np.sin(2 * np.pi * g.uniform(700, min(5000, 0.4 * rate)) * t)
        for _ in range(4)
    ]
    return np.sum(tones, axis=0)


def outlet(kind: str, rate: float, g: np.random.Generator) -> Array:
    """Answer far away to a unit of flow at the valve."""
    f = rfftfreq(ANSWER, 1 / rate)
    wave = 2 * np.pi * f / SPEED_OF_SOUND * (1 - 1j * g.uniform(0.01, 0.04)) + 0.05 - 0.02j
    parts = [(g.uniform(0.1, 0.5), 1.0)]
    if kind == "muffler":
        for _ in range(g.integers(1, 3)):
            parts += [(g.uniform(0.08, 0.3), g.uniform(6, 30)), (g.uniform(0.03, 0.25), g.uniform(0.3, 1.0))]
    a, b, c, d = 1 + 0j, 0j, 0j, 1 + 0j
    for length, area in parts:
        cos, sin, y = np.cos(wave * length), 1j * np.sin(wave * length), 1 / area
        a, b, c, d = (
            a * cos + b * sin / y,
            a * y * sin + b * cos,
            c * cos + d * sin / y,
            c * y * sin + d * cos,
        )
    source = g.uniform(0.5, 3.0)  # what the valve gives way: a source of flow with an inner resistance
    far = 2j * np.pi * f / (d + b / source)
    far = far / (1 + (f / g.uniform(2500, 6000)) ** 2)  # sharp edges steepen and die on the way
    return irfft(far, ANSWER) * np.r_[np.ones(ANSWER - 512), np.hanning(1024)[512:]]
