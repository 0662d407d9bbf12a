"""Along which other courses of speed do the frames hold nearly as much evidence?

Where little is heard, the best path can run along a part, a third or noise; the course that truly is the
engine's is then among the next best, and shows once it is followed.
"""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from snath.formulas.signals.comb import STEP
from snath.formulas.signals.sound_search import Search
from snath.formulas.signals.track import best_path, between_places

APART = 0.04  # courses nearer each other than this share of the speed are one
OCTAVE = 0.06  # how far from an octave a path still is one [octave]
BARRED = -5.0  # evidence of what another course already took [nat]


def other_courses(found: Search, low: float, count: int) -> Iterator[Search]:
    """The next best paths through the frames, each apart from all before it.

    An octave up or down is left out: there the cycles of the first path tell better.

    Parameters
    ----------
    found : Search
        The best path with the evidence of every speed.
    low : float
        Slowest speed searched. [rev/s]
    count : int
        How many. [1]

    Yields
    ------
    Search
        The same frames along another path.
    """
    left = found.score.copy()
    places, rows = np.arange(left.shape[1]), np.arange(len(left))
    path = found.place
    for _ in range(count):
        left[np.abs(places - path[:, None]) <= APART / STEP] = BARRED
        path = best_path(left, found.lead)
        speed = low * np.exp(STEP * (path + between_places(found.score, path)))
        octaves = float(np.median(np.abs(path - found.place))) * STEP / np.log(2)
        if abs(octaves - 1) > OCTAVE:
            share = float(np.median(speed / found.speed))
            heard = found.score[rows, path].astype(float)
            yield replace(found, speed=speed, heard=heard, place=path, share=share)
