"""How far does a speed stray from one mean, for long or in a swing that comes back, and has it one worth naming?"""

import math

import numpy as np
from numpy.typing import NDArray

from snath.formulas.signals.ranks import quantile
from snath.formulas.signals.sound_even import line_through
from snath.formulas.signals.sound_follow import USUAL_JITTER

SWEPT = 1.8  # highest over lowest speed of the same
STEADY = 0.13  # spread about a straight course of what may be called one speed, as a share
QUARTERS = 4  # parts of a stretch
STRAYED = 2.2  # times their scatter, known by three of them, within which halves of what wanders agree
UNFINISHED = (
    0.3  # standard uncertainty of a mean by a swing that was cut, beside swing over how many there were
)
VAGUE = 0.03  # u of a mean over it, by wandering, from which no mean is worth naming
SWING = 0.004  # least swing of a hunting engine, as a share of its speed


def wandered(t: NDArray[np.float64], speed: NDArray[np.float64], jitter: float = 0.0) -> float:
    """Standard uncertainty of a mean by how far the speed strayed from it for long, so that two halves agree within it.

    Parameters
    ----------
    t, speed : ndarray, shape (frames,)
        Course; a swing that stands out is taken off it. [s], [rev/s]
    jitter : float
        Standard uncertainty of the mean by uneven cycles alone, which scatter quarters twice as far. [rev/s]

    Returns
    -------
    float
        By the scatter of quarters beyond that, and by a last swing that was not finished. [rev/s]
    """
    if len(t) < 2 * QUARTERS:
        return 0.0
    swing = _swing(t, speed)
    cut, left = (
        (0.0, speed) if swing is None else (swing[0] / swing[1] / float(t[-1] - t[0]), speed - swing[2])
    )
    quarters = np.array([one.mean() for one in np.array_split(left, QUARTERS)])
    slowly = STRAYED * math.sqrt(max(float(quarters.var(ddof=1)) - QUARTERS * jitter**2, 0.0))
    return math.hypot(slowly, UNFINISHED * cut)


def no_one_speed(t: NDArray[np.float64], run: NDArray[np.float64]) -> bool:
    """Whether a course is too far from one speed, or from a straight change of it, to have a mean worth naming."""
    spread = float(np.std(run - line_through(t, run)))
    usual = float(run.mean())
    uneven = USUAL_JITTER * usual / math.sqrt(max(usual * float(t[-1] - t[0]) / 2, 1.0))
    slowest, fastest = quantile(run, 0.05), quantile(run, 0.95)
    return spread > STEADY * usual or fastest > SWEPT * slowest or wandered(t, run, uneven) > VAGUE * usual


def hunting(t: NDArray[np.float64], speed: NDArray[np.float64]) -> float | None:
    """Half the swing of a periodic change of speed between 0.4 and 4 Hz, None where none stands out."""
    swing = _swing(t, speed)
    return None if swing is None else swing[0]


def _swing(
    t: NDArray[np.float64], speed: NDArray[np.float64]
) -> tuple[float, float, NDArray[np.float64]] | None:
    """Half the swing of a periodic change, how often it comes, and its course; None where none stands out."""
    if len(t) < 20:
        return None
    since = (t - t.mean()) / (t[-1] - t[0])
    bent = np.stack([np.ones_like(since), since, since**2])
    rest = speed - np.linalg.solve(bent @ bent.T, bent @ speed) @ bent
    least = SWING * float(speed.mean())
    if 2 * np.abs(rest).mean() < least:
        return None  # no swing within it can be larger
    frequency = np.arange(0.4, 4.0, 0.1)
    wave = np.exp(-2j * np.pi * np.outer(frequency, t))
    swing = np.abs(wave @ rest) * 2 / len(t)
    best = int(swing.argmax())
    course = np.real(2 / len(t) * (wave[best] @ rest) * wave[best].conj())
    clear = swing[best] > least and swing[best] > 1.5 * np.std(rest - course)
    return (float(swing[best]), float(frequency[best]), course) if clear else None
