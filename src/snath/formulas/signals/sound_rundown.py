"""How does the speed fall after a release, when hardly anything is left to hear?

Single frames say little then, but all of them must lie on one curve: friction that does not depend on
speed and drag that grows with it (docs/sound.md, equation 14). The few curves there are can be tried.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from snath.formulas.signals.candidates import Driven
from snath.formulas.signals.comb import STEP, Pattern, blade_pattern, comb_score, log_levels
from snath.formulas.signals.sound_pipe import PIPE_FRAMES, lasting_noise, pipe_loudness
from snath.formulas.signals.spectra import frame_power

SLOPES = (-0.15, -0.3, -0.45, -0.6, -0.75, -0.9, -1.05, -1.2, -1.4, -1.6, -1.85, -2.15, -2.5, -3.0)
# shares of the speed per second
SPAN = 0.33  # of a frame [s]
AROUND = 90.0  # width of the neighbourhood a line must stand out from [Hz]
SLOWEST = 3.0  # under this nothing is looked for [rev/s]
BRAKES = np.arange(
    0.0, 0.86, 0.0125
)  # part of the fall that is friction, as a share of the speed at release [1/s]
DRAGS = np.arange(0.04, 1.06, 0.025)  # part that is drag [1/s]
BEGINS = np.arange(
    -0.1, 0.25, 0.05
)  # release beside where it was noticed, where the moment could not be told [s]
LATE = 0.006  # the same where it could: standard uncertainty from being told by whole firings [s]
USUAL_FALL, FALL_SPREAD = 0.7, 0.45  # brake and drag together, spread of its logarithm: machines differ [1/s]
WIDEST = 0.3  # u over speed up to which a fall is shown
EDGES = -0.5 * (np.array(SLOPES[1:]) + np.array(SLOPES[:-1]))
ALIKE = 3.0  # evidence of neighbouring frames and lines is not independent
HOPELESS = 6 * ALIKE  # evidence by which a curve must miss the best to be dropped [nat]
TOGETHER, FINENESS = (
    6,
    0.04 / 6,
)  # steps of log speed that are taken for one speed, either way, and their width
PUFF = 0.05  # compression beside a firing, in amplitude: about [1]
BLADE_SAYS = 1.5  # weight of the blade's tones, which do not end with the firing
LOUD_SAYS, MOST_SAYS = 0.5, 2.0  # usual and greatest weight of a line by how loud the pipe was there


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


@dataclass(frozen=True, slots=True)
class Before:
    """The course until the release: times [s] and speeds [rev/s] of frames, when it was released [s] and its u [s].

    `u` is None where the moment could not be told and is only about right.
    """

    t: NDArray[np.float64]
    speed: NDArray[np.float64]
    released: float
    u: float | None


def fallen(quiet, rate, t, before: Before, *, top, pattern: Pattern, blades: tuple[Driven, ...]) -> Fall:
    """The likeliest fall from a known speed.

    Parameters
    ----------
    quiet : ndarray, shape (n,)
        Sound without anything over `top`. [any]
    rate : float
        Its rate. [1/s]
    t : ndarray, shape (frames,)
        Frame centres after the release. [s]
    before : Before
        What is known of the time before.
    top : float
        Highest frequency used. [Hz]
    pattern : Pattern
        Lines of the engine, whose compression still puffs.
    blades : tuple of Driven
        Parts that still turn with it.

    Returns
    -------
    Fall
        One speed for each of `t`.
    """
    speed = float(np.median(before.speed[-5:]))
    score, low = _evidence(quiet, rate, t, top, before, pattern, blades)
    begins = BEGINS if before.u is None else np.array([-1.5, 0.0, 1.5]) * np.hypot(before.u, LATE)
    grid = _grid(BRAKES, DRAGS, begins)
    total, curve = _tried(score, low, t, before.released, speed, grid)
    total += _usual(grid)
    kept = total > total.max() - HOPELESS
    belief = np.exp((total[kept] - total.max()) / ALIKE)
    belief /= belief.sum()
    found = np.array([_likeliest(course, belief) for course in curve[kept].T])
    u = np.sqrt(belief @ (curve[kept] - found) ** 2) + 0.005 * found
    return Fall(found, u, (found > SLOWEST) & (u < WIDEST * found))


def _likeliest(speed, belief) -> float:
    """The speed near which most of the belief lies: where several curves fit, a mean of all would be on none."""
    step = (np.log(speed / speed.min()) / FINENESS).astype(int)
    share = np.bincount(step, belief, minlength=2 * TOGETHER + 2)
    best = int(np.convolve(share, np.ones(2 * TOGETHER + 1), "same").argmax())
    near = np.abs(step - best) <= TOGETHER
    return float(belief[near] @ speed[near] / belief[near].sum())


def _grid(brakes, drags, begins):
    """Every combination, shape (3, combinations)."""
    return np.stack([grid.ravel() for grid in np.meshgrid(brakes, drags, begins, indexing="ij")])


def _usual(grid):
    """Belief in each curve before hearing. [nat]"""
    return -0.5 * (np.log((grid[0] + grid[1]) / USUAL_FALL) / FALL_SPREAD) ** 2


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


def _evidence(quiet, rate, t, top, before: Before, pattern, blades):
    """Evidence for every slope, frame and speed, and the lowest speed."""
    speed = float(np.median(before.speed[-5:]))
    low = max(SLOWEST, 0.06 * speed)
    count = int(np.log(1.03 * speed / low) / STEP) + 1
    axis = 20.0

    def power(at, slopes):
        return frame_power(
            quiet, rate, (at * rate).astype(int), slopes=slopes, span=SPAN, frame_rate=2.26 * top, top=top
        )

    still, width = power(t, (0.0,))
    floor = lasting_noise(still, width)
    levels = log_levels(power(t, SLOPES)[0], floor, width, low=axis, high=top, around=AROUND)
    recent = slice(-PIPE_FRAMES, None)
    loud = pipe_loudness(power(before.t[recent], (0.0,))[0] / floor, width, before.speed[recent], pattern)
    heard = PUFF**2 * np.interp(axis * np.exp(STEP * np.arange(levels.shape[1])), *loud)
    weight = heard / (1 + heard)
    weight = np.minimum(LOUD_SAYS * weight / np.sqrt(np.mean(weight**2)), MOST_SAYS).astype(np.float32)
    score = comb_score(levels * weight, axis, pattern, low, count)
    for part in blades:
        middle = 0.5 * (part.ratio_low + part.ratio_high)
        score += BLADE_SAYS * comb_score(levels, axis, blade_pattern(part.tips), low * middle, count)
    return score.reshape(len(SLOPES), len(t), count), low
