"""Estimate the speed a governor holds while cycles jitter, the set speed wanders and phases are noisy.

The phase is a straight line (the mean speed), plus a wandering of the speed, plus a wandering of the
phase (each cycle a little longer or shorter), plus noise. How strong each is, the recording says itself
by its likelihood; the mean then is the best linear unbiased estimate (docs/sound.md, equations 9 and 10).
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import cho_solve

from snath.formulas.signals.sound_jitter import likeliest, of_all_parts, walked_speed, whitened

USUAL = 0.005  # jitter over which a swing is looked for instead
SWING_PRICE = 6.0  # what three numbers more must bring: half of ln(phases) each, and a search [nat]
CALM = (0.003, 0.02)  # wandering beside a swing, as a share per root second
POOLED = 28  # phases from which jitter and wandering are judged, at most
STEADY = 0.003  # wandering up to which phases may be pooled, as a share per root second
FEW = 12  # phases under which a swing cannot be told from wandering
NARROW = 0.02  # half the time over which a speed at a moment is taken [s]


@dataclass(frozen=True, slots=True)
class Held:
    """Mean speed and what it was found from.

    Attributes
    ----------
    rate, u : float
        Mean cycles per second of the governed speed, and its standard uncertainty. [1/s]
    jitter, wander : float
        Likeliest of `JITTERS` and `WANDERS`.
    u_noise : float
        The part of `u` that is left when cycles do not jitter. [1/s]
    pace, u_pace : ndarray
        Governed cycles per second at the wanted times and their standard uncertainties. [1/s]
    """

    rate: float
    u: float
    jitter: float
    wander: float
    u_noise: float
    pace: NDArray[np.float64]
    u_pace: NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class _Solved:
    """A course fitted for one strength of jitter and wandering."""

    likelihood: float
    lower: NDArray[np.float64]
    line: NDArray[np.float64]
    normal: NDArray[np.float64]
    course: NDArray[np.float64]
    rest: NDArray[np.float64]


def _course(t: Any, swing: Any) -> Any:
    """What the phase is made of besides walks: a constant, the mean speed, and a swing of angular rate `swing`."""
    parts = [np.ones_like(t), t]
    if swing:
        parts += [np.cos(swing * t), np.sin(swing * t)]
    return np.stack(parts, axis=1)


def _solved(
    t: Any, phase: Any, variance: Any, jitter: Any, wander: Any, rate: Any, swing: Any = 0.0
) -> _Solved:
    """Course through phases whose errors walk, by generalised least squares."""
    line = _course(t, swing)
    v = jitter**2 * rate * np.minimum.outer(t, t)
    if wander:
        v += (wander * rate) ** 2 * walked_speed(t, t)
    v.flat[:: len(t) + 1] += variance
    lower, solved = whitened(v, np.column_stack([line, phase]).T)
    normal = solved[:-1] @ solved[:-1].T
    beta = np.linalg.solve(normal, solved[:-1] @ solved[-1])
    left = solved[-1] - beta @ solved[:-1]
    likelihood = float(-0.5 * left @ left - np.log(np.diag(lower)).sum())
    return _Solved(likelihood, lower, line, normal, beta, phase - line @ beta)


def _swinging(
    t: Any, phase: Any, variance: Any, rate: Any, jitter: Any, wander: Any
) -> tuple[float, float, float]:
    """Jitter, wandering and angular rate of a swing, if one explains the phases better than wandering alone."""
    pace = np.diff(phase) / np.diff(t)
    middle = (t[1:] + t[:-1]) / 2
    tried = 2 * np.pi * np.arange(0.6, 4.0, 0.05)
    line = np.polyval(np.polyfit(middle, pace, 1), middle)
    power = np.abs(np.exp(-1j * np.outer(tried, middle)) @ (pace - line))
    rough = tried[power.argmax()]
    plain = (_solved(t, phase, variance, jitter, wander, rate).likelihood + SWING_PRICE, jitter, wander, 0.0)
    jitter = max(jitter, 0.0035)

    def with_swing(calm: Any, swing: Any) -> Any:
        return _solved(t, phase, variance, jitter, calm, rate, swing).likelihood, jitter, calm, swing

    best = max(with_swing(CALM[0], swing) for swing in rough + 2 * np.pi * np.linspace(-0.06, 0.06, 5))
    _, jitter, wander, swing = max(plain, best, with_swing(CALM[1], best[3]))
    return jitter, wander, swing


def held(
    t: Any,
    phase: Any,
    variance: float,
    ends: tuple[float, ...],
    wanted: Any,
    rate: float,
    *,
    even: bool = False,
) -> Held:
    """Best estimate of the mean and of the governed speed over time.

    Parameters
    ----------
    t : ndarray, shape (blocks,)
        Times. [s]
    phase : ndarray, shape (blocks,)
        Phases. [cycle]
    variance : float
        Noise variance of a phase. [cycle^2]
    ends : tuple of float
        Between which times the mean is wanted. [s]
    wanted : ndarray
        Times at which the speed is wanted. [s]
    rate : float
        About the mean. [1/s]
    even : bool
        Whether one speed without jitter is known to explain the phases.

    Returns
    -------
    Held
        Mean, speeds and their uncertainties.
    """
    since = t - ends[0]
    group = -(-len(t) // POOLED)
    kept = len(t) // group * group
    pooled, angle = (part[:kept].reshape(-1, group).mean(axis=1) for part in (since, phase))
    jitter, wander = (0.0, 0.0) if even else likeliest(pooled, angle, variance / group, rate)
    if jitter > USUAL:
        jitter, wander = of_all_parts(pooled, angle, variance / group, rate, jitter, wander)
    doubtful = wander > 0.05 or jitter > USUAL  # what swings faster than it was pooled looks like jitter
    if not doubtful and not even and wander <= STEADY:  # else the halves cut off at both ends are missed
        since, phase, variance = pooled, angle, variance / group
    swing = 0.0
    if doubtful and len(since) >= FEW:
        jitter, wander, swing = _swinging(since, phase, variance, rate, jitter, wander)
    fit = _solved(since, phase, variance, jitter, wander, rate, swing)
    span = ends[1] - ends[0]
    early = np.concatenate([[0.0], np.clip(wanted - ends[0] - NARROW, 0, span - NARROW)])
    late = np.concatenate([[span], np.clip(wanted - ends[0] + NARROW, NARROW, span)])
    strength = (wander * rate) ** 2
    cover = strength * (walked_speed(late, since) - walked_speed(early, since))
    own = strength * (late**3 / 3 + early**3 / 3 - early**2 * (3 * late - early) / 3)
    length = late - early
    weight = cho_solve((fit.lower, True), cover.T, check_finite=False)
    known = _course(late, swing) - _course(early, swing)
    slack = known - weight.T @ fit.line
    spread = own - (cover * weight.T).sum(axis=1)
    spread += ((slack @ np.linalg.inv(fit.normal)) * slack).sum(axis=1)
    pace = (known @ fit.course + weight.T @ fit.rest) / length
    u = np.sqrt(np.maximum(spread, 0)) / length
    noise = float(np.sqrt(max(u[0] ** 2 - jitter**2 * rate / span, 0.0)))
    return Held(float(pace[0]), float(u[0]), jitter, wander, noise, pace[1:], u[1:])
