"""Find misheard frames of a rough track, and the likely speed there.

Where little is heard, a frame now and then lies several percent off both its neighbours. The phase cannot
be followed through such a frame: it loses part of a cycle there and with it the mean (docs/sound.md, step 2).
"""

from dataclasses import replace
from typing import Any

import numpy as np

from snath.formulas.signals.ranks import running_rank
from snath.formulas.signals.sound_search import Search

AROUND = 9  # frames whose middle speed a frame is held against
OFF = 0.012  # share by which a frame may always be off
USUAL = 4.0  # times the usual distance around it by which it may be off: hunting and steps keep their frames
FAINT = 6.0  # evidence from which a frame is believed whatever its neighbours say [nat]


def mended(found: Search, first: int, last: int) -> Search:
    """A rough track with misheard frames between `first` and `last` drawn straight through."""
    speed = found.speed.copy()
    speed[first:last] = drawn_through(speed[first:last], found.heard[first:last])
    return replace(found, speed=speed)


def drawn_through(speed: Any, heard: Any) -> Any:
    """Speeds of frames with the misheard ones taken from their neighbours.

    Parameters
    ----------
    speed : ndarray, shape (frames,)
        Rough track. [rev/s]
    heard : ndarray, shape (frames,)
        Evidence of each frame. [nat]

    Returns
    -------
    ndarray, shape (frames,)
        Speed. [rev/s]
    """
    if len(speed) < AROUND:
        return speed
    off = np.abs(speed / _middles(speed) - 1)
    usual = _middles(off)
    kept = (off <= np.maximum(OFF, USUAL * usual)) | (heard > FAINT)
    at = np.arange(len(speed))
    return np.interp(at, at[kept], speed[kept]) if kept.any() else speed


def _middles(values: Any) -> Any:
    """Median of the `AROUND` values about each, at the ends of the first and the last of them."""
    half = AROUND // 2
    inner = running_rank(values, AROUND, half)
    return np.concatenate((np.full(half, inner[0]), inner, np.full(half, inner[-1])))
