"""Score a comb of engine orders against a frame, for every speed in the range at once.

On an axis of log-frequency a comb keeps its shape whatever the speed, so its score is a sum of shifted
copies of one array (docs/sound.md, equation 4).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

STEP = 0.005  # spacing of the log-speed grid
ORDERS_TOP = 14.0  # orders above this are smeared by cycle jitter in the first search
STRONGEST = 4.5  # most one line may say, so that a single loud tone cannot outvote a comb


@dataclass(frozen=True, slots=True)
class Pattern:
    """The lines a shaft is expected to make.

    Attributes
    ----------
    orders : tuple of float
        Multiples of the engine's speed.
    weights : tuple of float
        How far each is expected, 0 to 1.
    """

    orders: tuple[float, ...]
    weights: tuple[float, ...]


def firing_shares(*, lines: Any, firings: Sequence[float]) -> Any:
    """Power of lines of the working cycle beside that of the loudest, |mean exp(2 pi i n firing)|^2.

    Parameters
    ----------
    lines : array_like of int
        Multiples of the cycle rate. [1]
    firings : sequence of float
        Fractions of the cycle at which it fires, from 0 up to 1. [1]

    Returns
    -------
    ndarray
        Share for each line, 0 to 1. [1]
    """
    places = np.asarray(firings, dtype=float)
    return np.abs(np.exp(2j * np.pi * np.outer(lines, places)).mean(axis=1)) ** 2


def firing_pattern(*, cycle_turns: int, firings: Sequence[float]) -> Pattern:
    """Lines of an engine that fires at those places of its working cycle.

    Parameters
    ----------
    cycle_turns : int
        Turns of one working cycle, 1 or 2. [1]
    firings : sequence of float
        Fractions of the cycle, from 0 up to 1. [1]

    Returns
    -------
    Pattern
        Orders n / cycle_turns, weighted by the root of their share.
    """
    n = np.arange(1, int(ORDERS_TOP * cycle_turns) + 1)
    share = firing_shares(lines=n, firings=firings)
    kept = share > 0.02
    return Pattern(tuple(n[kept] / cycle_turns), tuple(np.sqrt(share[kept])))


def blade_pattern(tips: Any) -> Any:
    """Lines of a part with that many tips: its tone, overtones, and once a turn as tips are never alike."""
    return Pattern((1.0, *(float(tips * n) for n in range(1, 7))), (0.5, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0))


def log_levels(power: Any, floor: Any, width: float, *, low: float, high: float, around: float) -> Any:
    """Evidence of a line at every place of a log-frequency axis.

    Parameters
    ----------
    power, floor : ndarray, shape (m, bins)
        Power spectra and their noise. [any]
    width : float
        Bin width. [Hz]
    low, high : float
        Ends of the axis. [Hz]
    around : float
        Width of the neighbourhood a line must stand out from. [Hz]

    Returns
    -------
    ndarray, shape (m, places)
        ln(1 + power / floor), at most `STRONGEST`, less its mean around. [1]
    """
    level = power / floor
    level += 1
    np.log(level, out=level)
    np.minimum(level, STRONGEST, out=level)
    level -= _around(level, int(around / width))
    place = low * np.exp(STEP * np.arange(int(np.log(high / low) / STEP))) / width
    left = np.minimum(place.astype(int), level.shape[1] - 2)
    share = (place - left).astype(np.float32)
    near = level.take(left, axis=1, mode="clip")
    beyond = level.take(left + 1, axis=1, mode="clip")
    beyond -= near
    beyond *= share
    near += beyond
    return near


def _around(level: Any, size: Any) -> Any:
    """Moving mean along frequency, the ends taken from what there is."""
    bins = level.shape[1]
    half = min(size // 2, bins - 1)
    total = np.zeros((len(level), bins + 1), dtype=np.float32)
    np.cumsum(level, axis=1, out=total[:, 1:])
    mean = np.empty_like(level)
    mean[:, : bins - half] = total[:, half + 1 :]
    mean[:, bins - half :] = total[:, -1:]
    mean[:, half:] -= total[:, : bins - half]
    at = np.arange(bins)
    mean /= (np.minimum(at + half + 1, bins) - np.maximum(at - half, 0)).astype(np.float32)
    return mean


def comb_score(levels: Any, low: float, pattern: Pattern, rev_s_low: float, count: int) -> Any:
    """Sum of a pattern's lines for `count` speeds from `rev_s_low` up in steps of `STEP`.

    Parameters
    ----------
    levels : ndarray, shape (m, places)
        From `log_levels`, starting at `low`. [1]
    low : float
        First frequency of the axis. [Hz]
    pattern : Pattern
        The lines.
    rev_s_low : float
        First speed. [rev/s]
    count : int
        How many speeds. [1]

    Returns
    -------
    ndarray, shape (m, count)
        Evidence in nats; lines outside the axis say nothing. [1]
    """
    score = np.zeros((len(levels), count), dtype=np.float32)
    places = levels.shape[1]
    shifts = np.rint(np.log(rev_s_low / low * np.array(pattern.orders)) / STEP).astype(int).tolist()
    for shift, weight in zip(shifts, pattern.weights, strict=True):
        first, last = max(0, -shift), min(count, places - shift)
        if last > first:
            line = levels[:, first + shift : last + shift]
            score[:, first:last] += line if weight > 0.97 else np.float32(weight) * line
    return score
