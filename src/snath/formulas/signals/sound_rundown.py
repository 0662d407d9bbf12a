"""How does the speed fall after a release, when hardly anything is left to hear?

Single frames say little then, but all of them must lie on one curve: friction that does not depend on
speed and drag that grows with it (docs/sound.md, equation 14). The few curves there are can be tried.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from snath.formulas.signals.candidates import Driven
from snath.formulas.signals.comb import STEP, Pattern, blade_pattern, comb_score, log_levels
from snath.formulas.signals.spectra import frame_power, noise_floor

SLOPES = (-0.2, -0.4, -0.6, -0.8, -1.05, -1.35, -1.75, -2.3, -3.0)  # shares of the speed per second
SPAN = 0.36  # of a frame [s]
SLOWEST = 3.0  # under this nothing is looked for [rev/s]
BRAKES = np.arange(
    0.0, 0.86, 0.025
)  # part of the fall that is friction, as a share of the speed at release [1/s]
DRAGS = np.arange(0.05, 1.06, 0.05)  # part that is drag [1/s]
BEGINS = np.arange(-0.2, 0.25, 0.05)  # release beside where it was noticed [s]
CLEAR = 3.0  # how far the best curve must stand over all of them, in their standard deviations
LEAST = 25.0  # evidence of the best curve [nat]
WIDEST = 0.2  # u over speed up to which a fall is shown
FINE = np.linspace(-1, 1, 13)
EDGES = -0.5 * (np.array(SLOPES[1:]) + np.array(SLOPES[:-1]))
ALIKE = 2.5  # evidence of neighbouring frames and curves is not independent


@dataclass(frozen=True, slots=True)
class Fall:
    """A speed after release.

    Attributes
    ----------
    speed, u : ndarray, shape (frames,)
        Speed and its standard uncertainty. [rev/s]
    told : ndarray of bool, shape (frames,)
        Where it can be told.
    """

    speed: NDArray[np.float64]
    u: NDArray[np.float64]
    told: NDArray[np.bool_]


def fallen(quiet, rate, t, *, top, begin, speed, pattern: Pattern, blades: tuple[Driven, ...]) -> Fall | None:
    """The fall from a known speed, or None where no curve stands out.

    Parameters
    ----------
    quiet : ndarray, shape (n,)
        Sound without anything over `top`. [any]
    rate : float
        Its rate. [1/s]
    t : ndarray, shape (frames,)
        Frame centres after the release. [s]
    top : float
        Highest frequency used. [Hz]
    begin : float
        About when it was released. [s]
    speed : float
        The speed then. [rev/s]
    pattern : Pattern
        Lines of the engine, whose compression still puffs.
    blades : tuple of Driven
        Parts that still turn with it.

    Returns
    -------
    Fall or None
        One speed for each of `t`.
    """
    score, low = _evidence(quiet, rate, t, top, speed, pattern, blades)
    coarse = _grid(BRAKES, DRAGS, BEGINS)
    total, _ = _tried(score, low, t, begin, speed, coarse)
    best = float(total.max())
    if best < total.mean() + CLEAR * total.std() or best < LEAST:
        return None
    brake, drag, late = coarse[:, int(total.argmax())]
    near = _grid(
        np.maximum(brake + FINE * 0.04, 0.0), np.maximum(drag + FINE * 0.08, 0.02), late + FINE[::2] * 0.05
    )
    total, curve = _tried(score, low, t, begin, speed, near)
    belief = np.exp((total - total.max()) / ALIKE)
    belief /= belief.sum()
    mean = belief @ curve
    u = np.sqrt(np.maximum(belief @ curve**2 - mean**2, 0)) + 0.005 * mean
    return Fall(mean, u, (mean > SLOWEST) & (u < WIDEST * mean))


def _grid(brakes, drags, begins):
    """Every combination, shape (3, combinations)."""
    return np.stack([grid.ravel() for grid in np.meshgrid(brakes, drags, begins, indexing="ij")])


def _tried(score, low, t, begin, speed, grid):
    """Evidence of each curve, and the curves, from their brake, drag and beginning."""
    brake, drag, late = grid[:, :, None]
    since = np.maximum(t - begin - late, 0)
    share = np.maximum((1 + brake / drag) * np.exp(-drag * since) - brake / drag, 1e-6)
    curve = speed * share
    slope = np.where(since > 0, -drag - brake / np.maximum(share, 1e-3), 0.0)
    nearest = np.searchsorted(EDGES, -slope)
    place = np.rint(np.log(curve / low) / STEP).astype(int)
    inside = (place >= 0) & (place < score.shape[2])
    got = score[nearest, np.arange(len(t)), np.clip(place, 0, score.shape[2] - 1)]
    return np.where(inside, got, 0.0).sum(axis=1), curve


def _evidence(quiet, rate, t, top, speed, pattern, blades):
    """Evidence for every slope, frame and speed, and the lowest speed."""
    low = max(SLOWEST, 0.06 * speed)
    count = int(np.log(1.03 * speed / low) / STEP) + 1
    axis = 20.0
    power, width = frame_power(
        quiet, rate, (t * rate).astype(int), slopes=SLOPES, span=SPAN, frame_rate=2.26 * top, top=top
    )
    levels = log_levels(power, noise_floor(power, width), width, low=axis, high=top, around=120.0)
    score = comb_score(levels, axis, pattern, low, count)
    for part in blades:
        middle = 0.5 * (part.ratio_low + part.ratio_high)
        score += comb_score(levels, axis, blade_pattern(part.tips), low * middle, count)
    score -= np.median(score, axis=0)  # what a speed scores without being there, as hum and edges bring it
    return score.reshape(len(SLOPES), len(t), count), low
