"""Weigh the rates that fit a film by how well each foretells every picture from its neighbours in phase.

Two rates that bring the pictures into the same order round the turn cannot be told apart by them, however differently
they stretch it: where a mark is seen on a short arc, or the frame times tell little, that is so of all orders that fit.
So a rate is judged by order alone: each picture is foretold from the two before and the two after it in phase, itself
left out. What one rate foretells better than another is held against how much that differs from stretch to stretch.
"""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from snath.formulas.signals.film.fit import FlickerFit
from snath.formulas.signals.film.foretold import (
    foretold_errors,
    foretold_from_elsewhere,
    surely_worse,
    widest_gap,
)
from snath.formulas.signals.film.rows import RowSlope

BELIEF = 0.75  # of the square of a paired test: 3.5 standard errors are a hundredth of the weight
VIABLE = 0.5  # share of what the best explains, under which a rate is no rival, whatever a paired test says
ALONE = 0.85  # the same for a multiple that makes its own part no rate of its own,
ALIKE = 0.75  # and for the multiple by which marks come by: they are never quite alike
SURELY = 3.5  # standard errors by which a rival must foretell worse
ELSEWHERE_SEEN = 0.75  # share of pictures with others near by from other parts of the turn, to tell by them
PART_SEEN = 0.2  # share of a turn without a frame, from which nothing tells that it goes round
SAME = 0.3  # Hz by which two rates must differ to be told as two
LAMPS, LAMP_OFF = (100.0, 120.0, 50.0, 60.0), 0.002  # Hz, and the share by which the mains may be off
CLEARLY = 0.5  # from here a mark counts as seen to go round
ROUND = 60.0  # what not going round with it costs a fit, as twice a log-likelihood
LEAST_WEIGHT = 1e-3
EXPLAINED = 0.7  # least share of the flicker that a speed must explain


@dataclass(frozen=True, slots=True)
class Likely:
    """A rate that may be the right one.

    Attributes
    ----------
    fit : FlickerFit
        The rate, followed through the film.
    weight : float
        Share of belief, 0 to 1.
    rows : RowSlope or None
        What the rows of the picture say with it; None where they were not looked at or say nothing.
    """

    fit: FlickerFit
    weight: float
    rows: RowSlope | None = None


@dataclass(frozen=True, slots=True)
class Judged:
    """What may have brought about the flicker.

    Attributes
    ----------
    likely : tuple of Likely
        Rates, likeliest first.
    creeps : bool
        Whether something that creeps or stands, or a camera that moves, would look the same.
    lamp : float or None
        Rate of a lamp on the mains that would look the same. [Hz]
    """

    likely: tuple[Likely, ...]
    creeps: bool
    lamp: float | None


@dataclass(frozen=True, slots=True)
class _Tried:
    """A fit, its errors [any], the share of the flicker it foretells, and how far its mark goes round with it."""

    fit: FlickerFit
    errors: np.ndarray
    share: float
    round: float


def judged(fits: list[FlickerFit], t: Any, series: Any, *, angle: Any, marks: int, noise: float) -> Judged:
    """The rates that may be right, and what else may be.

    Parameters
    ----------
    fits : list of FlickerFit
        At least one.
    t : ndarray, shape (n,)
        Rising times of the frames. [s]
    series : ndarray, shape (n, k)
        Courses of brightness. [any]
    angle : ndarray, shape (n,)
        Where each frame's brightness stands out most, times `marks`. [turn]
    marks : int
        Alike marks round the part. [1]
    noise : float
        Sum of squares that noise alone brings into the courses. [any]

    Returns
    -------
    Judged
        With at least one rate.
    """
    series = series - series.mean(axis=0)
    total = max(float((series**2).sum()) - noise, 1e-9)

    def share(errors: Any) -> float:
        return float(1 - (float(errors.sum()) - noise) / total)

    tried = [_tried(fit, series, angle, share) for fit in fits]
    tried = [one for one in tried if not _is_part(one, series, marks, noise)] or tried
    best = _best(tried, t)

    def stands(errors: Any) -> bool:
        return share(errors) >= VIABLE * best.share and surely_worse(errors, best.errors, t) < SURELY

    creeping = foretold_errors(0.5 * (t - t[0]) / (t[-1] - t[0]), series)
    viable = [one for one in tried if one is best or one.share >= VIABLE * best.share]
    return Judged(
        tuple(_weighed(viable, best, t, marks)),
        stands(creeping),
        next((lamp for lamp in LAMPS if stands(_lamp_errors(lamp, t, series))), None),
    )


def _tried(fit: Any, series: Any, angle: Any, share: Any) -> _Tried:
    errors = foretold_errors(_by_eye(fit), series)
    both = (np.exp(2j * np.pi * (angle + sense * fit.phase)).mean() for sense in (1, -1))
    return _Tried(fit, errors, share(errors), float(max(abs(one) for one in both)))


def _by_eye(fit: FlickerFit) -> Any:
    """The phase as even frames show it, the same for all folds of one fit; of uneven ones as it is. [1]"""
    steps = np.diff(fit.t_s)
    if steps.max() - steps.min() > 1e-6 * steps.min():
        return fit.phase
    count = np.arange(len(fit.t_s))
    seen = fit.phase - fit.phase[0] - np.rint((fit.phase[-1] - fit.phase[0]) / count[-1]) * count
    return seen if seen[-1] >= 0 else -seen


def _is_part(one: _Tried, series: Any, marks: Any, noise: Any) -> bool:
    """Whether a multiple of a rate is the true repetition: places far apart in its turn were seen, and look alike."""
    power = (series**2).sum(axis=1) - noise / len(series)
    for times in {2, 3, *(d for d in range(2, marks + 1) if marks % d == 0)}:
        errors, seen = foretold_from_elsewhere(one.fit.phase, series, times)
        if seen.mean() < ELSEWHERE_SEEN:
            continue
        multiple = 1 - (errors[seen] - noise / len(series)).sum() / max(power[seen].sum(), 1e-9)
        if multiple >= (ALIKE if marks % times == 0 else ALONE) * one.share:
            return True
    return False


def _lamp_errors(lamp: Any, t: Any, series: Any) -> Any:
    """Least errors with a lamp of about that rate."""
    step = 0.1 / (t[-1] - t[0])
    rates = lamp + np.arange(-LAMP_OFF * lamp, LAMP_OFF * lamp + step, step)
    return min((foretold_errors(rate * t, series) for rate in rates), key=lambda errors: float(errors.sum()))


def _best(tried: list[_Tried], t: Any) -> _Tried:
    """The rate that foretells best by order, unless as a pattern it is surely worse than one that foretells as well."""
    by_order = min(tried, key=lambda one: float(one.errors.sum()))
    smooth = min(tried, key=lambda one: float(_misfit(one.fit).sum()))
    rougher = surely_worse(_misfit(by_order.fit), _misfit(smooth.fit), t)
    return smooth if rougher > max(SURELY, surely_worse(smooth.errors, by_order.errors, t)) else by_order


def _worse(one: _Tried, best: _Tried, t: Any, marks: Any) -> float:
    """By how many standard errors a rate is worse than the best: by order alone, or as a pattern that runs smoothly.

    The second tells orders apart that only deal out the same few places of the turn anew; marks move smoothly. That
    marks are never quite alike makes one turn fit better than the time between two of them, and says nothing.
    """
    times = [d for d in range(2, marks + 1) if marks % d == 0]
    if one.share >= ALIKE * best.share and any(abs(one.fit.rate - d * best.fit.rate) < SAME for d in times):
        return 0.0
    by_order = surely_worse(one.errors, best.errors, t)
    return float(max(by_order, surely_worse(_misfit(one.fit), _misfit(best.fit), t), 0.0))


def _misfit(fit: FlickerFit) -> Any:
    """What a fit leaves of each picture, its free numbers taken into account. [any]"""
    return fit.missed * len(fit.missed) / max(len(fit.missed) - fit.rank, 1)


def _weighed(tried: list[_Tried], best: _Tried, t: Any, marks: Any) -> list[Likely]:
    """Rates with their shares of belief; of one found by both clocks the likelier stands for both."""
    round_seen = np.array([one.round for one in tried])
    tells = round_seen.max() > CLEARLY and all(widest_gap(one.fit.phase) < PART_SEEN for one in tried)
    worse = np.array([_worse(one, best, t, marks) for one in tried])
    costs = BELIEF * worse**2 + ROUND * (round_seen.max() - round_seen) * tells
    weight = np.exp(-(costs - costs.min()) / 2)
    kept: list[Likely] = []
    for i in np.argsort(-weight, kind="stable"):
        if not any(_told_twice(tried[i].fit, other.fit) for other in kept):
            kept.append(Likely(tried[i].fit, float(weight[i])))
    whole = sum(one.weight for one in kept)
    kept = [replace(one, weight=one.weight / whole) for one in kept]
    return [one for one in kept if one.weight > LEAST_WEIGHT]


def _told_twice(one: FlickerFit, other: FlickerFit) -> bool:
    """Whether two fits are one rate by two clocks; of one clock near rates are two, as on both sides of a fold."""
    return abs(one.rate - other.rate) <= SAME and not np.array_equal(one.t_s, other.t_s)
