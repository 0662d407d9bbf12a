"""Look up what the frames of the search hold for speeds other than the track's."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from snath.formulas.signals.comb import STEP
from snath.formulas.signals.sound_judge import MULTIPLES
from snath.formulas.signals.sound_search import Search

SIMPLE = np.array(list(MULTIPLES))
NEAR = np.array([[-1], [0], [1]])
OTHERS = 4  # most further multiples that are judged
FRAME_SHARE = 0.05  # neighbouring frames and lines repeat each other


def frames_say(stretch: Search, factors: Sequence[float]) -> Any:
    """What the frames hold for multiples, less than for the track itself, scaled for being alike.

    Parameters
    ----------
    stretch : Search
        Frames along a track.
    factors : sequence of float
        Multiples of it. [1]

    Returns
    -------
    ndarray, shape (factors,)
        Evidence; 0 where a multiple leaves the range. [nat]
    """
    frames, places = stretch.score.shape
    shift = np.rint(np.log(np.asarray(factors, dtype=float)) / STEP).astype(int)
    at = stretch.place + shift[:, None]
    inside = (at >= 0) & (at < places)
    near = np.clip(at[:, None] + NEAR, 0, places - 1) + np.arange(frames) * places
    more = np.where(inside, stretch.score.take(near).max(axis=1) - stretch.heard, 0.0).sum(axis=1)
    return np.where(inside.sum(axis=1) < 0.8 * frames, 0.0, FRAME_SHARE * more)


def beside(stretch: Search) -> list[float]:
    """Multiples, not simple ones, at which the frames also hold much evidence: a blade taken for an engine."""
    frames, places = stretch.score.shape
    rows = np.arange(frames)
    shifts = np.arange(-places // 2, places // 2, 2)
    at = stretch.place + shifts[:, None]
    inside = (at >= 0) & (at < places)
    total = np.where(inside, stretch.score[rows, np.clip(at, 0, places - 1)], 0).sum(axis=1)
    total[inside.mean(axis=1) < 0.8] = 0
    factor = np.exp(STEP * shifts)
    total[(np.abs(factor[:, None] / SIMPLE - 1) < 0.025).any(axis=1)] = 0
    found = []
    for _ in range(OTHERS):
        best = int(total.argmax())
        if total[best] < 0.25 * stretch.heard.sum():
            break
        found.append(float(factor[best]))
        total[np.abs(factor / factor[best] - 1) < 0.03] = 0
    return found
