"""Measure how well a rate foretells every picture from its neighbours in phase, and what does so surely worse."""

from typing import Any

import numpy as np

NEIGHBOURS = 2  # pictures on each side in phase
ELSEWHERE = 0.05  # share of a repetition within which a picture from elsewhere counts as near
ROUNDED = 0.01  # share by which errors differ through rounding alone, as between folds of one fit
FLOOR = 0.25  # share of the usual error of a picture below which differences do not count
STRETCH = 0.12  # s of which the pictures' errors count as one


def foretold_errors(phase: Any, series: Any) -> Any:
    """By how much each picture differs from what its neighbours in phase foretell.

    Parameters
    ----------
    phase : ndarray, shape (n,)
        Repetitions done at each frame. [1]
    series : ndarray, shape (n, k)
        Courses of brightness. [any]

    Returns
    -------
    ndarray, shape (n,)
        Sum over the courses of the squares, over what noise alone makes of them: of pure noise its own square. [any]

    References
    ----------
    In the spirit of J. Lafler and T. D. Kinman, Astrophysical Journal Supplement 11 (1965) 216 (from memory): the
    sum of squares between neighbours in phase, least at the true period.
    """
    turned = np.round(phase, 9) % 1  # pictures at the same place keep their order in time, whatever the fold
    order = np.argsort(turned, kind="stable")
    place, value = turned[order], series[order]
    foretold, share = np.zeros_like(value), np.zeros(len(place))
    for k in range(1, NEIGHBOURS + 1):
        before, after = (place - np.roll(place, k)) % 1, (np.roll(place, -k) - place) % 1
        near = np.where(before + after > 0, after / np.maximum(before + after, 1e-12), 0.5)
        foretold += (
            near[:, None] * np.roll(value, k, axis=0) + (1 - near)[:, None] * np.roll(value, -k, axis=0)
        ) / NEIGHBOURS
        share += (near**2 + (1 - near) ** 2) / NEIGHBOURS**2
    errors = np.empty(len(place))
    errors[order] = ((value - foretold) ** 2).sum(axis=1) / (1 + share)
    return errors


def surely_worse(errors: Any, best: Any, t_s: Any) -> float:
    """By how many standard errors a rate foretells worse than the best.

    Parameters
    ----------
    errors, best : ndarray, shape (n,)
        Errors of the rate and of the best. [any]
    t_s : ndarray, shape (n,)
        Times of the frames. [s]

    Returns
    -------
    float
        Mean of the logarithm of their ratio over its standard error, by stretches of `STRETCH`. [1]

    References
    ----------
    Q. H. Vuong, Econometrica 57 (1989) 307 (from memory): a paired test of two models that are not nested.
    """
    base = FLOOR * best.mean()
    at = _stretches(t_s)
    more = np.add.reduceat(np.log((errors + base) / (best + base)), at) / np.diff(np.append(at, len(t_s)))
    if len(more) < 3:
        return 0.0
    return float(more.mean() / np.hypot(more.std(ddof=1) / len(more) ** 0.5, ROUNDED))


def _stretches(t_s: Any) -> Any:
    """Where each stretch of time begins."""
    return np.unique(np.searchsorted(t_s, np.arange(t_s[0], t_s[-1] - STRETCH / 2, STRETCH)))


def widest_gap(phase: Any) -> float:
    """Largest share of a repetition that no frame shows.

    Parameters
    ----------
    phase : ndarray, shape (n,)
        Repetitions done at each frame. [1]

    Returns
    -------
    float
        [1]
    """
    seen = np.sort(phase % 1)
    return float(np.diff(np.append(seen, seen[0] + 1)).max())


def foretold_from_elsewhere(phase: Any, series: Any, times: int) -> Any:
    """The same errors where only pictures from other parts of the turn foretell, at a multiple of the rate.

    Where they foretell a picture, places far apart in the turn look alike: then the multiple is the true repetition.

    Parameters
    ----------
    phase : ndarray, shape (n,)
        Repetitions done at each frame. [1]
    series : ndarray, shape (n, k)
        Courses of brightness. [any]
    times : int
        The multiple.

    Returns
    -------
    errors : ndarray, shape (n,)
        As of `foretold_errors`. [any]
    seen : ndarray of bool, shape (n,)
        Which pictures have others from elsewhere near by.
    """
    turned = times * (phase % 1)
    part, place = np.floor(turned).astype(int), turned % 1
    errors, seen = np.zeros(len(phase)), np.zeros(len(phase), dtype=bool)
    for one in range(times):
        own, other = np.flatnonzero(part == one), np.flatnonzero(part != one)
        if not len(own) or len(other) < 2:
            continue
        other = other[np.argsort(place[other], kind="stable")]
        right = np.searchsorted(place[other], place[own])
        before, after = other[right - 1], other[right % len(other)]
        back, ahead = (place[own] - place[before]) % 1, (place[after] - place[own]) % 1
        near = np.where(back + ahead > 0, ahead / np.maximum(back + ahead, 1e-12), 0.5)
        foretold = near[:, None] * series[before] + (1 - near)[:, None] * series[after]
        errors[own] = ((series[own] - foretold) ** 2).sum(axis=1) / (1 + near**2 + (1 - near) ** 2)
        seen[own] = np.minimum(back, ahead) < ELSEWHERE
    return errors, seen
