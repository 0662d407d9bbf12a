"""What do the frames of the search hold for other speeds than the track's?"""

import numpy as np

from snath.formulas.signals.comb import STEP
from snath.formulas.signals.sound_judge import MULTIPLES
from snath.formulas.signals.sound_search import Search

NEAR = np.array([[-1], [0], [1]])
OTHERS = 4  # most further multiples that are judged
FRAME_SHARE = 0.05  # neighbouring frames and lines repeat each other


def frames_say(stretch: Search, factor: float) -> float:
    """What the frames hold for a multiple, less than for the track itself, scaled for being alike. [nat]"""
    at = stretch.place + round(np.log(factor) / STEP)
    inside = (at >= 0) & (at < stretch.score.shape[1])
    rows = np.flatnonzero(inside)
    if len(rows) < 0.8 * len(at):
        return 0.0
    places = stretch.score.shape[1]
    near = np.clip(at[rows] + NEAR, 0, places - 1) + rows * places
    return FRAME_SHARE * float((stretch.score.take(near).max(axis=0) - stretch.heard[rows]).sum())


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
    for known in MULTIPLES:
        total[np.abs(factor / known - 1) < 0.025] = 0
    found = []
    for _ in range(OTHERS):
        best = int(total.argmax())
        if total[best] < 0.25 * stretch.heard.sum():
            break
        found.append(float(factor[best]))
        total[np.abs(factor / factor[best] - 1) < 0.03] = 0
    return found
