"""Search roughly for the speed at every tenth of a second, over the whole range and any change.

First frames in which speed stands still; where they leave doubt, frames for every slope
(docs/sound.md, equations 1 to 4).
"""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from snath.formulas.signals.candidates import Driven
from snath.formulas.signals.comb import STEP, Pattern, blade_pattern, comb_score, log_levels
from snath.formulas.signals.ranks import quantile
from snath.formulas.signals.spectra import frame_power, noise_floor
from snath.formulas.signals.track import best_path, between_places

HOP = 0.1
LONG, SHORT = 0.35, 0.25  # frame lengths: to resolve half orders at idle, and for fast change [s]
GENTLE = (-0.12, 0.12, -0.25, 0.25, -0.4, 0.4)
STEEP = (-0.6, 0.6, -0.85, 0.85, -1.15, 1.15, -1.6, -2.2)  # shares of the speed per second
TILT = 1.5  # evidence a speed must bring more than one an octave below, as it is asked for fewer lines [nat]
STILL = 1  # places between frames up to which each frame's own best is the best path
MOVING = 3  # places between frames that call for a second look
FIRST_DOUBT = (0.6, 8.0)  # share of the recording's best evidence, and evidence, that need no second look
SECOND_DOUBT = (0.5, 6.0)  # and no third


@dataclass(frozen=True, slots=True)
class Search:
    """What the first search found.

    Attributes
    ----------
    t, speed : ndarray, shape (frames,)
        Frame centres [s] and the speed on the best path [rev/s].
    heard : ndarray, shape (frames,)
        Evidence on that path. [nat]
    score : ndarray, shape (frames, places)
        Evidence of every speed, steps of `STEP` in its logarithm. [nat]
    place : ndarray of int, shape (frames,)
        The path.
    lead : ndarray of int, shape (frames, places)
        How far the likeliest slope at a place carries a path from the frame before. [places]
    share : float
        Its speed over that of the best path. [1]
    own : ndarray or None, shape (frames, places)
        Evidence of the engine's lines alone, as if the speed were held within each frame; None where not asked. [nat]
    """

    t: NDArray[np.float64]
    speed: NDArray[np.float64]
    heard: NDArray[np.float64]
    score: NDArray[np.float32]
    place: NDArray[np.int64]
    lead: NDArray[np.int32]
    share: float = 1.0
    own: NDArray[np.float32] | None = None

    def cut(self, first: int, last: int) -> "Search":
        """Frames `first` up to `last`."""
        at = slice(first, last)
        return replace(
            self,
            t=self.t[at],
            speed=self.speed[at],
            heard=self.heard[at],
            score=self.score[at],
            place=self.place[at],
            lead=self.lead[at],
            own=None if self.own is None else self.own[at],
        )

    def times(self, factor: float) -> "Search":
        """The same frames along a multiple of the track."""
        place = self.place + round(float(np.log(factor)) / STEP)
        inside = (place >= 0) & (place < self.score.shape[1])
        rows = np.arange(len(place))
        heard = np.where(inside, self.score[rows, np.clip(place, 0, self.score.shape[1] - 1)], 0.0)
        share = self.share * factor
        return replace(self, speed=self.speed * factor, heard=heard.astype(float), place=place, share=share)


def search(
    quiet: Any,
    rate: float,
    *,
    top: float,
    low: float,
    high: float,
    pattern: Pattern,
    spacing: float,
    driven: tuple[Driven, ...] = (),
) -> Search:
    """Best path of speed through a recording.

    Parameters
    ----------
    quiet : ndarray, shape (n,)
        Sound without anything over `top`. [any]
    rate : float
        Its rate. [1/s]
    top : float
        Highest frequency searched. [Hz]
    low, high : float
        Range of engine speed. [rev/s]
    pattern : Pattern
        Lines of the engine.
    spacing : float
        Order between its lines. [1]
    driven : tuple of Driven
        Bladed parts driven through a ratio.

    Returns
    -------
    Search
        One frame every `HOP`.
    """
    t = np.arange(HOP / 2, len(quiet) / rate, HOP)
    centres = (t * rate).astype(int)
    count = int(np.log(high / low) / STEP) + 1
    axis = max(20.0, low / 4)
    floors: list[NDArray[np.float32]] = []

    def look(frames: Any, slopes: Any) -> Any:
        """Evidence for each slope, frame and speed, of the engine alone and with what it drives."""
        steep = max(map(abs, slopes)) > 0.5
        power, width = frame_power(
            quiet,
            rate,
            centres[frames],
            slopes=slopes,
            span=SHORT if steep else LONG,
            frame_rate=2.26 * top,
            top=top,
        )
        if not floors:
            floors.append(noise_floor(power, width))
        floor = noise_floor(power, width) if steep else np.tile(floors[0][frames], (len(slopes), 1))
        levels = log_levels(power, floor, width, low=axis, high=top, around=max(120.0, spacing * high))
        score = comb_score(levels, axis, pattern, low, count)
        score -= tilt
        own = score.copy() if driven else score
        for part in driven:
            score += _driven_score(levels, axis, part, low, count)
        return (each.reshape(len(slopes), len(frames), count) for each in (own, score))

    tilt = (TILT * STEP / np.log(2) * np.arange(count)).astype(np.float32)
    every = np.arange(len(t))
    ends = len(quiet) / rate
    inside = (np.minimum(t + LONG / 2, ends) - np.maximum(t - LONG / 2, 0)) / LONG
    own, score = (each[0] for each in look(every, (0.0,)))
    score = score.copy()
    carried = np.zeros(score.shape, dtype=np.int32)
    doubtful = _doubtful(score, inside, *FIRST_DOUBT)
    for slopes in (GENTLE, STEEP):
        if not len(doubtful):
            break
        _, others = look(doubtful, slopes)
        best = others.argmax(axis=0)
        value = np.take_along_axis(others, best[None], axis=0)[0]
        better = value > score[doubtful]
        lead = np.rint(np.array(slopes) * HOP / STEP).astype(np.int32)[best]
        score[doubtful] = np.where(better, value, score[doubtful])
        carried[doubtful] = np.where(better, lead, carried[doubtful])
        if slopes is GENTLE:
            doubtful = np.intersect1d(doubtful, _doubtful(score, inside, *SECOND_DOUBT))
    place = score.argmax(axis=1)
    if np.abs(np.diff(place)).max(initial=0) > STILL:
        place = best_path(score, carried)
    speed = low * np.exp(STEP * (place + between_places(score, place)))
    return Search(t, speed, score[every, place].astype(float), score, place, carried, own=own)


def _doubtful(score: Any, inside: Any, share: Any, sure: Any) -> Any:
    """Frames with little evidence beside the recording's best, or whose speed moves, with neighbours."""
    at = score.argmax(axis=1)
    heard = score[np.arange(len(at)), at] / inside
    move = np.abs(np.diff(at, prepend=at[:1]))
    doubt = (heard < share * quantile(heard, 0.8)) | (heard < sure) | (move > MOVING)
    near = doubt.copy()
    near[1:] |= doubt[:-1]
    near[:-1] |= doubt[1:]
    return np.flatnonzero(near)


def _driven_score(levels: Any, axis: Any, part: Any, low: Any, count: Any) -> Any:
    """Best evidence of a driven part over the range of its ratio, at each engine speed."""
    wide = int(np.ceil(np.log(part.ratio_high / part.ratio_low) / STEP))
    score = comb_score(levels, axis, blade_pattern(part.tips), low * part.ratio_low, count + wide)
    return _largest_ahead(score, wide + 1)[:, :count]


def _largest_ahead(values: Any, size: Any) -> Any:
    """Largest of each value and those after it, `size` in all, by doubling; ends shorten by `size` - 1."""
    covered = 1
    while covered < size:
        step = min(covered, size - covered)
        values = np.maximum(values[:, :-step], values[:, step:])
        covered += step
    return values
