"""Find from when to when the engine fires, and when it was released.

After a release the firing's lines are gone at once; whether a wave that only became weaker goes on, the fine
track tells. What still fires has not been released: a shaft that coasts never holds a speed, an engine that was
only throttled soon does.
"""

from typing import Any

import numpy as np

from snath.formulas.signals.comb import STEP
from snath.formulas.signals.ranks import median
from snath.formulas.signals.sound_search import HOP, Search

LEAST = 5  # frames of running or of silence that count
FADED = 0.72  # share of its evidence that a running engine keeps
GONE = 0.45  # share under which nothing is heard yet; what is only quieter, as idle before full speed, runs already
HELD_FRAMES = 12  # over which a speed is held that no coasting shaft holds
HELD_SLOPES = (-0.03, -0.015, 0.0, 0.015, 0.03)  # which may be called held; friction alone takes more [1/s]
STILL_FIRES = 3.0  # mean evidence of a comb along such a speed that noise and puffs do not bring [nat]
HELD = 0.03  # how far the last frames before a release may already have fallen


def running(found: Search) -> tuple[int, int, float | None]:
    """Frames in which the engine fires, first and one past the last, and when it stopped.

    Parameters
    ----------
    found : Search
        Track with its evidence.

    Returns
    -------
    tuple of (int, int, float or None)
        Frames, and the moment of release where there was one. [1], [1], [s]
    """
    n = len(found.t)
    if n < 2 * LEAST:
        return 0, n, None
    first, last = 0, n
    cut = _change(found.heard)
    before, after = _mean(found.heard[:cut]), _mean(found.heard[cut:])
    if after < FADED * before:
        last = cut
    elif before < GONE * after:
        first = cut
    if last == n:
        return first, last, None
    usual = median(found.speed[first:last])
    while last - first > LEAST and abs(found.speed[last - 1] / usual - 1) > HELD:
        last -= 1
    released = float(found.t[last - 1])
    return first, max(last - 1, first + LEAST), released


def fires_on(own: Any) -> bool:
    """Whether an engine's comb is still heard along a held speed.

    Parameters
    ----------
    own : ndarray, shape (frames, places)
        Evidence of the engine's lines after a supposed release. [nat]

    Returns
    -------
    bool
        False where too few frames are left to tell.
    """
    frames, places = own.shape
    if frames < HELD_FRAMES:
        return False
    for slope in HELD_SLOPES:
        shift = np.rint(slope * HOP / STEP * np.arange(frames)).astype(int)
        at = np.arange(places) + shift[:, None]
        inside = (at >= 0) & (at < places)
        row = np.arange(frames)[:, None]
        straight = np.where(inside, own[row, np.clip(at, 0, places - 1)], 0.0)
        total = np.cumsum(np.concatenate([np.zeros((1, places)), straight]), axis=0)
        if (total[HELD_FRAMES:] - total[:-HELD_FRAMES]).max() > STILL_FIRES * HELD_FRAMES:
            return True
    return False


def _mean(values: Any) -> Any:
    return float(values.mean())


def _change(values: Any) -> int:
    """Where two levels explain a series best, leaving `LEAST` on both sides."""
    n = len(values)
    total = np.cumsum(values)
    at = np.arange(LEAST, n - LEAST + 1)
    left, right = total[at - 1] / at, (total[-1] - total[at - 1]) / (n - at)
    return int(at[(at * (n - at) * (left - right) ** 2).argmax()])
