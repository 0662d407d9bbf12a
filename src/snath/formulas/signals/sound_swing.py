"""Which swing of one rate about one speed holds most evidence in the frames: how a hunting engine would run?

In noise the best path picks the loudest chance of every frame and loses a speed that swings fast. A swing
has four numbers for all frames together, so that chance hardly helps it (docs/sound.md, section 3).
"""

from dataclasses import replace

import numpy as np
from scipy.ndimage import maximum_filter1d

from snath.formulas.signals.comb import STEP
from snath.formulas.signals.sound_search import Search

WINDOW = 6.0  # longest time over which a swing is taken to keep its rate [s]
RATES = np.arange(0.7, 2.9, 0.1)  # [1/s]
TURNS = np.arange(12) / 12  # where in its swing it begins [1]
DEPTHS = np.arange(0.0, 0.15, 0.02)  # to each side, as a share of the speed
FINER = np.array([-0.5, -0.25, 0.0, 0.25, 0.5])  # of a step of the three, tried about the best
PROMISING = 4  # rates whose best swing is refined
REACH = 24  # places about the middle of the path among which the mean speed is looked for
EDGE = int(np.log(1 / (1 - DEPTHS[-1] - 0.01)) / STEP) + 2  # places that a swing reaches beyond
FEWEST = 10  # frames in which a swing can be told


def swinging(found: Search, low: float) -> Search:
    """The same frames along the swing that holds most evidence, window by window.

    Parameters
    ----------
    found : Search
        The best path with the evidence of every speed.
    low : float
        Slowest speed searched. [rev/s]

    Returns
    -------
    Search
        Where a window is too short for a swing, the path as it was.
    """
    speed, last = found.speed.copy(), found.score.shape[1] - 1
    hop = float(np.median(np.diff(found.t))) if len(found.t) > 1 else WINDOW
    windows = int(np.ceil(len(found.t) * hop / WINDOW))
    for frames in np.array_split(np.arange(len(found.t)), windows):
        if len(frames) >= FEWEST:
            score, middle = _about(found.score[frames], int(np.clip(np.median(found.place[frames]), 0, last)))
            place, share = _best_swing(score, found.t[frames])
            speed[frames] = low * np.exp(STEP * (middle + place)) * share
    place = np.clip(np.rint(np.log(speed / low) / STEP).astype(int), 0, last)
    heard = found.score[np.arange(len(place)), place].astype(float)
    return replace(found, speed=speed, heard=heard, place=place)


def _about(score, middle):
    """Evidence of the places about a middle one, nothing beyond the range; and the first of them that is a mean."""
    around = np.pad(score, ((0, 0), (REACH + EDGE, REACH + EDGE)))
    return around[:, middle : middle + 2 * (REACH + EDGE) + 1], middle - REACH


def _best_swing(score, t):
    """Place of the mean speed and the share of it at each frame."""
    since = t - t.mean()
    wide = maximum_filter1d(score, 3, axis=1)  # so that no swing falls between those tried
    rough = sorted((_tried(wide, since, rate, TURNS, DEPTHS) for rate in RATES), reverse=True)
    best = max(_refined(score, since, *one[1:4]) for one in rough[:PROMISING])
    _, rate, turn, depth, place = best
    return place, 1 + depth * np.sin(2 * np.pi * (rate * since + turn))


def _refined(score, since, rate, turn, depth):
    """The best swing near one that was tried."""
    turns, depths = turn + FINER * TURNS[1], np.clip(depth + FINER * DEPTHS[1], 0, DEPTHS[-1])
    return max(_tried(score, since, one, turns, depths) for one in rate + FINER * (RATES[1] - RATES[0]))


def _tried(score, since, rate, turns, depths):
    """Most evidence of all swings of one rate, and the rate, the beginning, the depth and the mean that have it."""
    swing = np.sin(2 * np.pi * (rate * since + turns[:, None]))
    off = np.rint(np.log1p(depths[:, None, None] * swing) / STEP).astype(int)
    means = np.arange(EDGE, EDGE + 2 * REACH + 1)
    rows = np.arange(len(since))[:, None] * score.shape[1]
    total = score.take(off[..., None] + means + rows).sum(axis=2)
    depth, turn, place = np.unravel_index(total.argmax(), total.shape)
    return float(total.max()), rate, float(turns[turn]), float(depths[depth]), int(place)
