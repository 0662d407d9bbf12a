"""At which held speeds do all frames together speak for an engine, whatever each says alone?

Where the best path through the frames keeps to one speed but could not be followed, as where a blade behind a belt
drew it aside, lines straight through all frames are tried in its place (docs/sound.md, section 2).
"""

from dataclasses import replace
from typing import Any

import numpy as np

from snath.formulas.signals.comb import STEP
from snath.formulas.signals.ranks import median, quantile
from snath.formulas.signals.sound_search import HOP, Search
from snath.formulas.signals.track import between_places, top_between

SLOPES = (-0.01, -0.005, 0.0, 0.005, 0.01)  # of a speed that is held, or drifts a little [1/s]
APART = 4  # least distance of the middles of two lines [places]
SLIPPED, EXACT = 0.03, 0.015  # shares by which two speeds are one, or one a multiple of the other
SIMPLE = sorted({a / b for a in range(1, 6) for b in range(1, 6)})
MOST_FRAMES = 0.8  # share of the frames in which a steady path keeps to its speed
MOST = 4  # lines of each kind of evidence


def held_courses(found: Search, first: int, last: int) -> list[Search]:
    """Straight courses of most evidence, by the engine's lines alone and by all there is.

    Parameters
    ----------
    found : Search
        Frames with the evidence of every speed.
    first, last : int
        Frames that count, first and one past the last.

    Returns
    -------
    list of Search
        The same frames along them; those of most evidence first, none twice.
    """
    taken: list[tuple[float, float]] = []
    for evidence in (found.score if found.own is None else found.own, found.score):
        totals = _along_lines(evidence[first:last])
        best = totals.max(axis=0)
        left = best.copy()
        for _ in range(MOST):
            at = int(left.argmax())
            if left[at] <= 0:
                break
            left[max(at - APART, 0) : at + APART + 1] = 0.0
            inner = min(max(at, 1), len(best) - 2)
            place = at + float(top_between(*best[inner - 1 : inner + 2]))
            if all(abs(place - other) > 1 for other, _ in taken):
                taken.append((place, SLOPES[int(totals[:, at].argmax())]))
    return [_course(found, at, slope, (first + last - 1) / 2) for at, slope in taken]


def drawn_aside(found: Search) -> bool:
    """Whether something driven may have drawn the best path aside, which keeps to one speed: else none is held."""
    strayed = np.abs(found.speed / median(found.speed) - 1)
    return found.own is not None and quantile(strayed, MOST_FRAMES) < SLIPPED


def same(ratio: float) -> bool:
    """Whether two speeds are one, a few turns lost or gained."""
    return abs(ratio - 1) < SLIPPED


def akin(ratio: float) -> bool:
    """Whether two speeds are one, or simple multiples of each other."""
    return same(ratio) or any(abs(ratio / one - 1) < EXACT for one in SIMPLE)


def _along_lines(evidence: Any) -> Any:
    """Evidence of all frames along a line of each slope through each place in the middle, shape (slopes, places)."""
    frames, places = evidence.shape
    near = 2 * evidence
    near[:, 1:] += evidence[:, :-1]
    near[:, :-1] += evidence[:, 1:]
    row, at = np.arange(frames)[:, None], np.arange(places)
    sums = []
    for slope in SLOPES:
        place = at + np.rint(slope * HOP / STEP * (row - (frames - 1) / 2)).astype(int)
        inside = (place >= 0) & (place < places)
        sums.append(np.where(inside, near[row, np.clip(place, 0, places - 1)], 0.0).sum(axis=0))
    return np.array(sums)


def _course(found: Search, at: float, slope: float, middle: float) -> Search:
    """The frames along one line."""
    rows = np.arange(len(found.t))
    line = at + slope * HOP / STEP * (rows - middle)
    place = np.clip(np.rint(line).astype(int), 0, found.score.shape[1] - 1)
    on_path = found.place + between_places(found.score, found.place)
    low = float(np.median(found.speed / np.exp(STEP * on_path)))
    heard = found.score[rows, place].astype(float)
    return replace(found, speed=low * np.exp(STEP * line), heard=heard, place=place, share=None)
