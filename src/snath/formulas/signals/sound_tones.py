"""Weigh how much a blade's tones speak for a speed, where their loudness is known.

While the engine ran they were heard; as it coasts they fall in pitch with the speed and in loudness with a
high power of it (docs/sound.md, equation 16).
"""

from typing import Any

import numpy as np

from snath.formulas.signals.candidates import Driven
from snath.formulas.signals.comb import STEP
from snath.formulas.signals.sound_plan import Plan

TONES = 6  # overtones listened for
FALL = 5.0  # power of the speed with which a blade's sound power falls; from memory of fan laws
LOUDEST = 30.0  # power over noise above which a missing tone costs no more: it may have been something else
CLEAR = 8.0  # what one tone in one frame may say before more of it says only little more [nat]
UNHEARD = 0.003  # power over noise that says nothing
SOFTER = (0.25, 1.0)  # loudness of a driven blade beside what was heard at its places, as shares tried
SOFTER_DIRECT = (0.03, 0.1, 0.3, 1.0)  # the same on the crankshaft, where the engine's lines are as well
SILENT = -1.0  # belief that nothing of it is heard, beside that in each share [nat]
RATIOS = 31  # tried where the ratio is not known
QUIETER = 10.0  # most by which noise under a falling tone is taken to be weaker


def tones_of(part: Driven) -> Any:
    """Orders of the part: once a turn, as tips are never alike, its tone and overtones."""
    return np.array([1.0, *(float(part.tips * n) for n in range(1, TONES + 1))])


def softer(part: Driven, plan: Plan) -> Any:
    """Loudness of its own tones beside what was heard at their places, as shares to be tried."""
    return SOFTER_DIRECT if part in plan.direct else SOFTER


def tones_before(ratio: Any, width: float, speed: Any, part: Driven) -> Any:
    """Ratio of a part and how loud its tones were.

    Parameters
    ----------
    ratio : ndarray, shape (frames, bins)
        Power over noise while the engine ran. [1]
    width : float
        Bin width. [Hz]
    speed : ndarray, shape (frames,)
        Its speed. [rev/s]
    part : Driven
        The part; within its ratios the one that is loudest.

    Returns
    -------
    tuple of (float, ndarray of shape (tones,))
        Its ratio [1], and power over noise of each tone. [1]
    """
    tones = tones_of(part)
    rows = np.arange(len(speed))[:, None]

    def heard(by: Any) -> Any:
        place = np.rint(tones * by * speed[:, None] / width).astype(int)
        return np.maximum(ratio[rows, np.clip(place, 0, ratio.shape[1] - 1)].mean(axis=0) - 1, 0)

    if part.ratio_low == part.ratio_high:
        return part.ratio_low, heard(part.ratio_low)
    tried = np.linspace(part.ratio_low, part.ratio_high, RATIOS)
    loud = [heard(by) for by in tried]
    best = int(np.argmax([np.log1p(one).sum() for one in loud]))
    return float(tried[best]), loud[best]


def tones_say(
    ratio: Any, low: float, orders: Any, loud: Any, speed: float, noise: Any, rev_s_low: float, count: int
) -> Any:
    """Evidence of tones for `count` speeds from `rev_s_low` up in steps of `STEP`.

    Parameters
    ----------
    ratio : ndarray, shape (m, places)
        Power over noise on an axis of log frequency from `low`. [1]
    low : float
        First frequency of the axis. [Hz]
    orders, loud : ndarray, shape (tones,)
        Multiples of the engine's speed, and power over noise each had at `speed`. [1], [1]
    speed : float
        Speed before. [rev/s]
    noise : ndarray, shape (places,)
        Noise on the same axis. [any]
    rev_s_low : float
        First speed. [rev/s]
    count : int
        How many speeds. [1]

    Returns
    -------
    ndarray, shape (m, count)
        Log likelihood over that of noise alone, tones of uneven loudness taken as exponential. [nat]
    """
    said = np.zeros((len(ratio), count), dtype=np.float32)
    places = ratio.shape[1]
    fallen = (rev_s_low * np.exp(STEP * np.arange(count)) / speed) ** FALL
    for order, power in zip(orders, loud, strict=True):
        shift = round(np.log(rev_s_low * order / low) / STEP)
        before = round(np.log(speed * order / low) / STEP)
        first, last = max(0, -shift), min(count, places - shift)
        if last <= first or not 0 <= before < places:
            continue
        there = slice(first + shift, last + shift)
        expected = power * fallen[first:last] * np.minimum(noise[before] / noise[there], QUIETER)
        expected = np.minimum(expected, LOUDEST).astype(np.float32)
        if expected.max() < UNHEARD:
            continue
        start = int((expected > UNHEARD).argmax())
        expected = expected[start:]
        one = ratio[:, first + shift + start : last + shift] * (expected / (1 + expected))
        one -= np.log1p(expected)
        loudly = one > CLEAR
        one[loudly] = CLEAR + np.log1p(one[loudly] - CLEAR)
        said[:, first + start : last] += one
    return said
