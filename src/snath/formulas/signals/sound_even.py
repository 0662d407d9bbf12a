"""Test whether one speed without any jitter explains all the phases.

Then the whole sound is one comb and its pace is found by non-linear least squares, which no method beats.
An engine's cycles jitter; a recording of a motor, or a weak and short one, may show none of it.
"""

from typing import Any

import numpy as np
from scipy.fft import dct

from snath.formulas.signals.sound_phase import settled

ROUNDS = 4
MAYBE = 8.0  # mean square about a straight line, over the noise, up to which it is worth trying
LOUDER = 2.2  # the same about the line least squares found, up to which it may be noise alone
WALKS = np.array([0.01, 0.03, 0.1, 0.3, 1.0])  # variance of a step tried, over that of a phase
WALKED = 2.5  # what a walk must explain to be believed [nat]
FEWEST = 10  # phases from which it can be told


def slope_of(t: Any, values: Any) -> float:
    """Slope of the straight line through two or more values at their times."""
    since = t - t.mean()
    return float((since @ values) / (since @ since))


def line_through(t: Any, values: Any) -> Any:
    """The straight line through two or more values, at their own times."""
    return values.mean() + (t - t.mean()) * slope_of(t, values)


def read_straight(lines: Any, noise: Any, t: Any, angle: Any, gone: Any, variance: float) -> Any:
    """Angles read against one straight line, where nothing but noise is left about it; else None.

    Parameters
    ----------
    lines : ndarray of complex, shape (blocks, top)
        Amplitudes of lines 1 to top. [any]
    noise : ndarray, shape (top,)
        Noise variance of such an amplitude. [any]
    t, angle : ndarray, shape (blocks,)
        Block centres, and angles found without the line. [s], [cycle]
    gone : ndarray, shape (blocks,)
        Angle of the clock the lines were read with. [cycle]
    variance : float
        Of those angles. [cycle^2]

    Returns
    -------
    tuple of (ndarray, float) or None
        Angles and their variance. [cycle], [cycle^2]
    """
    rest = angle - line_through(t, angle)
    if len(rest) < FEWEST or float(rest @ rest) > MAYBE * len(rest) * variance:
        return None
    phase, doubt = settled(
        lines,
        noise,
        line_through(t, angle) - gone,
        lambda seen, _: line_through(t, seen + gone) - gone,
        rounds=ROUNDS,
        own_bend=False,
    )
    straight = phase + gone
    return (straight, doubt) if only_noise(straight - line_through(t, straight), doubt) else None


def only_noise(rest: Any, variance: Any) -> bool:
    """Whether what is left about a straight line is as loud at slow changes as at fast ones: noise, not a walk.

    A walk's cosine of number k is louder than its steps by 1 / (2 sin(pi k / 2 n))^2, that of noise is not.
    """
    count = len(rest)
    power = dct(rest, norm="ortho")[2:] ** 2
    if power.mean() > LOUDER * variance:
        return False
    level = max(float(power[len(power) // 2 :].mean()), variance)
    slow = 1 / (4 * np.sin(np.pi * np.arange(2, count) / (2 * count)) ** 2)
    spread = level * (1 + WALKS[:, None] * slow)
    walked = -0.5 * (power / spread + np.log(spread)).sum(axis=1)
    still = -0.5 * (power / level + np.log(level)).sum()
    return bool(walked.max() - still < WALKED)
