"""Tell a wheel by its missing teeth: how many places it has, and which of them are empty."""

from dataclasses import dataclass
from typing import Any

import numpy as np

MOST_PLACES = 130
FULL, EMPTY = 0.7, 0.12  # shares of turns with a pulse, above and below which a place counts as such
TURNS_NEEDED = 3
LEAST_UNEVEN = 2e-4  # share of an interval; less is the rounding of the log


@dataclass(frozen=True, slots=True)
class Wheel:
    """A wheel inferred from its gaps: places a turn, and how many of them are empty."""

    places: int
    empty: int


def wheel_from_gaps(slot: Any) -> Wheel | None:
    """The smallest wheel whose gaps come round once a turn.

    Parameters
    ----------
    slot : ndarray of int, shape (n,)
        Places passed at each pulse, rising from 0. [1]

    Returns
    -------
    Wheel or None
        None where no place stays empty turn after turn: an even wheel, whose size pulses alone do not
        tell.
    """
    total = int(slot[-1]) + 1
    if total - len(slot) < TURNS_NEEDED:
        return None
    there = np.zeros(total)
    there[slot] = 1
    for places in range(2, min(MOST_PLACES, total // TURNS_NEEDED) + 1):
        turns = total // places
        share = there[: turns * places].reshape(turns, places).mean(axis=0)
        empty = share < EMPTY
        if 0 < empty.sum() <= places // 3 and (share[~empty] > FULL).all():
            return Wheel(places, int(empty.sum()))
    return None


def repeat_length(t_s: Any, slot: Any) -> int | None:
    """After how many places the small unevenness of the pulses comes round again.

    Parameters
    ----------
    t_s : ndarray, shape (n,)
        Moments. [s]
    slot : ndarray of int, shape (n,)
        Places passed. [1]

    Returns
    -------
    int or None
        Marks in a turn or in a working cycle; None where nothing repeats.
    """
    step, interval = np.diff(slot), np.diff(t_s)
    total = len(step)
    if total < 40:
        return None
    pace = interval / step
    trend = np.convolve(np.pad(pace, 20, mode="edge"), np.ones(41) / 41, mode="valid")
    uneven = np.where(step == 1, pace / trend - 1, 0.0)
    uneven = np.clip(uneven, -0.5, 0.5) - np.clip(uneven, -0.5, 0.5).mean()
    power = float(uneven @ uneven)
    if power < total * LEAST_UNEVEN**2:
        return None
    lags = range(2, min(MOST_PLACES, total // 5))
    likeness = np.array([uneven[lag:] @ uneven[:-lag] / power for lag in lags])
    strong = np.flatnonzero(likeness > max(0.5, 0.85 * likeness.max()))
    return int(strong[0]) + 2 if len(strong) else None
