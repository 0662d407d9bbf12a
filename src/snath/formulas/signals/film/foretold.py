"""Measure how well a rate foretells every picture from its neighbours in phase, and what does so surely worse."""

import numpy as np

NEIGHBOURS = 2  # pictures on each side in phase
FLOOR = 0.25  # share of the usual error of a stretch below which differences do not count
STRETCH = 0.25  # s of which the pictures' errors count as one


def foretold_errors(phase, series):
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
    order = np.argsort(phase % 1, kind="stable")
    place, value = (phase % 1)[order], series[order]
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


def surely_worse(errors, best, t_s) -> float:
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
    at = _stretches(t_s)
    theirs, own = (np.add.reduceat(each, at) for each in (errors, best))
    base = FLOOR * own.mean()
    more = np.log((theirs + base) / (own + base))
    if len(more) < 3:
        return 0.0
    return float(more.mean() / max(more.std(ddof=1) / len(more) ** 0.5, 1e-30))


def _stretches(t_s):
    """Where each stretch of time begins."""
    return np.unique(np.searchsorted(t_s, np.arange(t_s[0], t_s[-1] - STRETCH / 2, STRETCH)))


def widest_gap(phase) -> float:
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


def mixed(phase, times) -> float:
    """How far parts of the turn that look alike at a multiple of a rate were truly seen beside each other.

    Parameters
    ----------
    phase : ndarray, shape (n,)
        Repetitions done at each frame. [1]
    times : int
        The multiple.

    Returns
    -------
    float
        Share of neighbours in phase at the multiple that come from different parts of the repetition. [1]
    """
    order = np.argsort(times * phase % 1, kind="stable")
    part = np.floor(times * (phase % 1))[order]
    return float(np.mean(part != np.roll(part, 1)))
