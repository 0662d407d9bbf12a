"""Where does the engine stand at every twentieth of a second, to a small part of a turn?

The rough track unrolls the sound; what phase is left over corrects the track, with more lines each time,
until all lines can be held against amplitudes of their own (docs/sound.md, equations 5 to 8).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.fft import next_fast_len
from scipy.linalg import solveh_banded

from snath.formulas.signals.sound_angle import Clock, clock_of, lines_by_block, noise_by_line, unrolled
from snath.formulas.signals.sound_phase import settled, steps_between

BLOCK = 0.05  # about [s]
STAGES = ((20, 0.02), (44, 0.012))  # lines used, largest change of pace
TOP_LINES = 80
TOP_FREQUENCY = 3000.0
USUAL_JITTER = 0.005  # of a cycle's length, as a share; from memory of petrol engines off load


@dataclass(frozen=True, slots=True)
class Followed:
    """The engine's angle over time.

    Attributes
    ----------
    t, angle : ndarray, shape (blocks,)
        Block centres [s] and the angle there [cycle].
    variance : float
        Of an angle. [cycle^2]
    clock : Clock
        Its smooth course.
    cycles : ndarray, shape (cycles, points)
        The sound unrolled with it. [any]
    pace : float
        Typical cycles per second. [1/s]
    """

    t: NDArray[np.float64]
    angle: NDArray[np.float64]
    variance: float
    clock: Clock
    cycles: NDArray[np.float32]
    pace: float


def follow(x, rate, t, pace, start, end, spoiled: frozenset[int] = frozenset()) -> Followed:
    """Refine a rough track of cycles per second to an angle over time.

    Parameters
    ----------
    x : ndarray, shape (n,)
        Sound at the working rate. [any]
    rate : float
        Its rate. [1/s]
    t, pace : ndarray, shape (frames,)
        Rough track. [s], [1/s]
    start, end : float
        Stretch to follow. [s]
    spoiled : frozenset of int
        Lines not to be trusted.

    Returns
    -------
    Followed
        At about every `BLOCK`.
    """
    typical = float(np.median(pace))
    per_block = max(1, round(BLOCK * typical))
    clock = clock_of(t, pace, start, end)
    for wanted, change in STAGES:
        top = _top(wanted, typical, rate)
        cycles = unrolled(x, rate, clock, _points(top))
        lines, _, trust = _lines(cycles, per_block, top, spoiled)
        step = steps_between(lines, trust, min(0.06, change * per_block))
        middle = _middles(clock, len(lines), per_block)
        extra = step / np.diff(middle)
        extra = np.convolve(np.concatenate([extra[:1], extra, extra[-1:]]), (0.25, 0.5, 0.25), "valid")
        clock = clock.hurried((middle[1:] + middle[:-1]) / 2, extra)
    top = _top(TOP_LINES, typical, rate)
    points = _points(top)
    cycles = unrolled(x, rate, clock, points)
    lines, noise, trust = _lines(cycles, per_block, top, spoiled)
    step = steps_between(lines, trust, min(0.06, 0.006 * per_block))
    middle = _middles(clock, len(lines), per_block)
    drift = USUAL_JITTER**2 * per_block
    observed, variance, _ = settled(
        lines,
        noise / (per_block * points),
        np.concatenate([[0.0], np.cumsum(step)]),
        lambda seen, doubt: walk_smoothed(seen, doubt, drift),
    )
    return Followed(middle, observed + clock.at(middle), variance, clock, cycles, typical)


def _lines(cycles, per_block, top, spoiled):
    """Lines by block, noise of a sample beside each, and the trust a line deserves over its power."""
    lines = lines_by_block(cycles, per_block, top)
    noise = noise_by_line(cycles, top)
    power = (lines.real**2 + lines.imag**2).mean(axis=0) + 1e-30
    clear = np.maximum(power / noise * (per_block * cycles.shape[1]) - 1, 0)
    clear[[line - 1 for line in spoiled if 0 < line <= top]] *= 0.01
    return lines, noise, clear * np.minimum(clear, 5.0) / (1 + clear) / power


def _top(wanted, pace, rate):
    return max(3, min(wanted, int(min(TOP_FREQUENCY, 0.45 * rate) / pace)))


def _points(top):
    """Samples per cycle that hold so many lines and a little more."""
    return next_fast_len(int(2.3 * top) + 8, real=True)


def _middles(clock, blocks, per_block):
    """Times in the middle of the blocks."""
    edges = clock.when(np.arange(blocks + 1) * per_block)
    return (edges[1:] + edges[:-1]) / 2


def walk_smoothed(seen, variance, drift):
    """A random walk seen through noise: `seen` of that variance, steps of variance `drift`."""
    n = len(seen)
    bands = np.zeros((2, n))
    bands[1] = 1 / variance
    bands[1, :-1] += 1 / drift
    bands[1, 1:] += 1 / drift
    bands[0, 1:] = -1 / drift
    return solveh_banded(bands, seen / variance)
