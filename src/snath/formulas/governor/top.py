"""Find the highest speed of a noisy track: single instants count, the reading's own noise does not."""

from functools import cache
from typing import Any

import numpy as np
import scipy

from snath.formulas.governor.smooth import FIVE, smoothed

MIDDLE = float(FIVE[2, 2])  # share of a point in the parabola at it, and of a point's noise power left there
DEEPEST, EACH = 9, 20  # noises under the highest value that count, and steps to each
DEPTHS = np.arange(DEEPEST * EACH) / EACH
PLACES = np.linspace(
    -DEEPEST / 2, DEEPEST, 109
)  # noises above the highest value: where its distribution is asked


@cache
def _below() -> Any:
    """Log of the chance that one so deep stays under each place; worked out where it is first asked for."""
    return scipy.special.log_ndtr(PLACES[:, None] + DEPTHS)


def shown_noise(values: Any) -> float:
    """Scatter that neighbouring points show: a robust one of their third differences, a swing hardly in them.

    Parameters
    ----------
    values : ndarray [shape=(n,)]
        Four or more at even times. [any]

    Returns
    -------
    float
        Standard deviation of a single point, fast wander in it. [same unit]
    """
    return float(np.median(np.abs(np.diff(values, 3)))) / 0.6745 / float(np.sqrt(20))


def expected_reach(count: int) -> float:
    """Expected highest of so many draws of unit normal noise, by Blom's plotting position (from memory). [1]"""
    return float(scipy.special.ndtri((count - 0.375) / (count + 0.25)))


def highest(values: Any, *, noise: float) -> float:
    """How far above their mean values went, were there no noise on them.

    Parameters
    ----------
    values : ndarray [shape=(n,)]
        Five or more at even times. [any]
    noise : float
        Standard deviation of a single one's own noise, not under 0. [same unit]

    Returns
    -------
    float
        Never under 0; the highest value itself where there is no noise. [same unit]

    Notes
    -----
    Each value is brought towards the parabola through its neighbours as far as what it strays from it is noise.
    Then that course, taken so many times as high, is sought which with the noise that is left on it would show the
    highest value seen: a swing keeps its height, and noise alone becomes nothing. A single value that stands higher
    than that by more than so many draws of noise reach (Blom's plotting position, from memory) counts for the rest.
    docs/governor.md.

    References
    ----------
    .. [1] Our own, held against made-up swings and noise; only the reach of draws is from a book (see above).
    """
    smooth = smoothed(values)
    strays = values - smooth
    power = float(strays.var())
    real = max(0.0, 1 - (1 - MIDDLE) * noise**2 / power) if power else 0.0
    course = smooth + real * strays
    course = course - course.mean()
    left = noise * np.sqrt(real**2 + (1 - real**2) * MIDDLE)
    top = float(course.max())
    if not left:
        return top
    lone = float(values.max() - values.mean()) - noise * expected_reach(values.size)

    def missing(height: float) -> float:
        return _expected_highest(height * course, left) - top

    if missing(0.0) >= 0:
        return max(lone, 0.0)
    if missing(1.0) <= 0:  # one lone value: what is left on it lifts and lowers it as often
        return top
    return max(lone, top * float(scipy.optimize.brentq(missing, 0.0, 1.0, xtol=1e-4)))


def _expected_highest(course: Any, noise: float) -> float:
    """Expected highest of values with independent normal noise on each: the integral of its distribution."""
    top = float(course.max())
    under = (top - course[course > top - DEEPEST * noise]) / noise
    many = np.bincount(np.rint(under * EACH).astype(int), minlength=DEPTHS.size)[: DEPTHS.size]
    reached = 1 - np.exp(_below() @ many)
    return top + noise * float(PLACES[0] + np.trapezoid(reached, PLACES))
