"""From which smoother courses near a rough path may following begin anew?

In noise, or beside a loud blade, a rough path jumps by a percent from frame to frame, and where following it
locks is then chance. From a smoother course near the same speed it often locks on the engine (docs/sound.md,
section 3); which of them is best shows in what the comb along it explains.
"""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from scipy.ndimage import gaussian_filter1d, median_filter

from snath.formulas.signals.sound_search import Search

AROUND = 5  # frames of which the middle one is taken
NARROW, WIDE = 1.0, 2.0  # standard deviations over which neighbours are averaged [frames]
OFF = 0.01  # distance from a straight course at which a frame counts half [1]
ROUNDS = 8
LEAST_HEARD = 0.1  # evidence by which the faintest frame counts [nat]
FEWEST = 8  # frames that can be smoothed


def smoother(found: Search) -> Iterator[Search]:
    """The same frames along smoother courses.

    Parameters
    ----------
    found : Search
        A rough path.

    Yields
    ------
    Search
        Its speeds smoothed in several ways, the likeliest to help first.
    """
    if len(found.t) < FEWEST:
        return
    speed, heard = found.speed, np.maximum(found.heard, LEAST_HEARD)
    middle = median_filter(speed, AROUND, mode="nearest")
    for course in (
        gaussian_filter1d(middle, NARROW, mode="nearest"),
        _averaged(speed, heard, NARROW),
        _straight(found.t, speed),
        _averaged(speed, heard, WIDE),
        middle,
    ):
        yield replace(found, speed=course)


def _averaged(speed, heard, width):
    """Mean of neighbouring speeds, by how clearly each was heard."""
    whole = gaussian_filter1d(heard, width, mode="nearest")
    return gaussian_filter1d(speed * heard, width, mode="nearest") / whole


def _straight(t, speed):
    """The straight course, in the logarithm of speed, that most frames lie on."""
    level, weight, since = np.log(speed), np.ones(len(t)), t - t.mean()
    for _ in range(ROUNDS):
        line = np.polyval(np.polyfit(since, level, 1, w=np.sqrt(weight)), since)
        weight = 1 / (1 + ((level - line) / OFF) ** 2)
    return np.exp(line)
