"""Follow the engine's phase every twentieth of a second, to a small part of a turn.

The rough track unrolls the sound; what phase is left over corrects the track, with more lines each time,
until all lines can be held against amplitudes of their own (docs/sound.md, equations 5 to 8).
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.linalg.lapack import dptsv

from snath.formulas.signals.candidates import Driven
from snath.formulas.signals.ranks import median
from snath.formulas.signals.sound_align import realigned
from snath.formulas.signals.sound_angle import Clock, clock_of, unrolled
from snath.formulas.signals.sound_even import read_straight
from snath.formulas.signals.sound_explained import LITTLE, UNEXPLAINED, Explained, explained
from snath.formulas.signals.sound_lines import (
    lines_of_driven,
    lines_trusted,
    middles,
    points_of,
    reach_of,
    tones_heard,
    top_line,
)
from snath.formulas.signals.sound_phase import settled, steps_between

BLOCK = 0.05  # about [s]
STAGES = ((20, 0.02), (44, 0.012))  # lines used, largest change of pace
TOP_LINES, LAST = 64, 0.006  # the same of the last one
WITHIN = 0.7  # share of the last change within which the steps of a stage need no further one before it
PARTED = 0.002  # share by which the angle gained may differ from the rough track's without another look
LEAPT = 0.012  # change of a phase from which all are read again [cycle]
SMEARED = 0.03  # angle left over that blurs the higher lines, so that the sound is unrolled once more [cycle]
USUAL_JITTER = 0.005  # of a cycle's length, as a share; from memory of petrol engines off load


BLOCKS_LEAST = 3  # under which a stretch has no course to follow


class TooShortError(Exception):
    """What was heard is too short to be followed: no fault of anybody's input."""


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
        Its smooth course, by which the cycles were unrolled.
    cycles : ndarray, shape (cycles, points)
        The sound unrolled with it. [any]
    pace : float
        Typical cycles per second. [1/s]
    even : bool
        Whether one speed without jitter explains the angles to within their noise.
    explained : Explained
        How much of the sound amplitudes common to all blocks explain.
    """

    t: NDArray[np.float64]
    angle: NDArray[np.float64]
    variance: float
    clock: Clock
    cycles: NDArray[np.float32]
    pace: float
    even: bool
    explained: Explained


def follow(
    x: Any,
    rate: float,
    t: Any,
    pace: Any,
    start: float,
    end: float,
    turns: int = 1,
    driven: tuple[Driven, ...] = (),
) -> Followed:
    """Refine a rough track of cycles per second to an angle over time.

    Parameters
    ----------
    x : ndarray, shape (n,)
        Sound. [any]
    rate : float
        Its rate. [1/s]
    t, pace : ndarray, shape (frames,)
        Rough track. [s], [1/s]
    start, end : float
        Stretch to follow. [s]
    turns : int
        Turns of the engine in a cycle. [1]
    driven : tuple of Driven
        Parts whose tones are to be kept out.

    Returns
    -------
    Followed
        At about every `BLOCK`.

    Raises
    ------
    TooShortError
        If the stretch holds fewer blocks than a course can be read from.
    """
    typical = median(pace)
    per_block = max(1, round(BLOCK * typical))
    clock = rough = clock_of(t, pace, start, end)
    tones: tuple[float, ...] = ()
    for stage, (wanted, change) in enumerate(STAGES):
        top = top_line(wanted, typical, rate)
        cycles = _enough(unrolled(x, rate, clock, points_of(top)), per_block)
        if stage == 0 and driven:
            tones = tones_heard(cycles, top, turns, driven)
        lines, _, trust = lines_trusted(cycles, tones, per_block, top)
        step = steps_between(lines, trust, reach_of(change, per_block))
        middle = middles(clock, len(lines), per_block)
        extra = step / np.diff(middle)
        extra = np.convolve(np.concatenate([extra[:1], extra, extra[-1:]]), (0.25, 0.5, 0.25), "valid")
        clock = clock.hurried((middle[1:] + middle[:-1]) / 2, extra)
        if np.abs(step).max() < WITHIN * reach_of(LAST, per_block):
            break
    others = lines_of_driven(driven, turns)
    found = _settled(x, rate, clock, typical, tones, others, stepped=True)
    little = found.explained.worth < LITTLE * (end - start)
    if not (found.explained.lost or little or abs(clock.angle[-1] / rough.angle[-1] - 1) > PARTED):
        return found
    other = _settled(x, rate, rough, typical, tones, others, stepped=False)
    throughout = other.explained.least >= UNEXPLAINED  # of a second look no doubt is excused by noise
    return other if throughout and other.explained.worth > found.explained.worth else found


def _enough(cycles: Any, per_block: int) -> Any:
    """The same cycles, where they are enough to follow a course by."""
    if len(cycles) < BLOCKS_LEAST * per_block:
        raise TooShortError
    return cycles


def _settled(
    x: Any, rate: float, clock: Clock, pace: float, tones: Any, others: set[int], *, stepped: bool
) -> Followed:
    """All blocks against common amplitudes: from what they turned from one to the next, or from the clock as it is."""
    top, per_block = top_line(TOP_LINES, pace, rate), max(1, round(BLOCK * pace))
    points = points_of(top)
    cycles = _enough(unrolled(x, rate, clock, points), per_block)
    lines, noise, trust = lines_trusted(cycles, tones, per_block, top)
    step = steps_between(lines, trust, reach_of(LAST, per_block)) if stepped else np.zeros(len(lines) - 1)
    middle = middles(clock, len(lines), per_block)
    faint, gone = noise / (per_block * points), clock.at(middle)
    angle, variance, even = _read(lines, faint, step, middle, gone, USUAL_JITTER**2 * per_block)
    common = explained(lines, faint, angle - gone, others)
    off = walk_smoothed(angle - gone, variance, USUAL_JITTER**2 * per_block)
    if np.ptp(off) > SMEARED:
        clock = clock.ahead(middle, off)
        cycles = _enough(unrolled(x, rate, clock, points), 1)
    return Followed(middle, angle, variance, clock, cycles, pace, even, common)


def _read(
    lines: Any, noise: Any, step: Any, middle: Any, gone: Any, drift: Any
) -> tuple[NDArray[np.float64], float, bool]:
    """Angle of every block against common amplitudes, its variance, and whether one speed explains them all."""

    def smooth(seen: Any, doubt: Any) -> Any:
        return walk_smoothed(seen, doubt, drift)

    phase, variance = settled(lines, noise, np.concatenate([[0.0], np.cumsum(step)]), smooth, rounds=4)
    better = realigned(lines, noise, phase, np.sqrt(drift))
    if np.abs(better - phase).max() > LEAPT:
        phase, variance = settled(lines, noise, better, smooth)
    straight = read_straight(lines, noise, middle, phase + gone, gone, variance)
    return (*straight, True) if straight else (phase + gone, variance, False)


def walk_smoothed(seen: Any, variance: Any, drift: Any) -> Any:
    """A random walk seen through noise: `seen` of that variance, steps of variance `drift`."""
    diagonal = np.full(len(seen), 1 / variance + 2 / drift)
    diagonal[0] -= 1 / drift
    diagonal[-1] -= 1 / drift
    return dptsv(diagonal, np.full(len(seen) - 1, -1 / drift), seen / variance)[2]
