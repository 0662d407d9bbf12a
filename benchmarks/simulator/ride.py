"""Where a simulated crankshaft stands at every moment: the exact truth all simulated signals share."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from snath.quantities.errors import InputError, within

Array = NDArray[np.float64]
Profile = Literal["steady", "drift", "ramp", "hunting", "step", "run-down"]

STEP = 0.0005  # s between points of the grid on which a ride is kept


@dataclass(frozen=True, slots=True)
class Ride:
    """Angle of a shaft over time.

    Attributes
    ----------
    t_s, turns : ndarray
        Moments and the angle reached, both rising; straight in between. [s], [turn]
    governed : ndarray
        Speed the governor meant at those moments, without the jitter of single cycles. [rev/s]
    release_s : float
        When the ignition was cut; after the end where it was not. [s]
    """

    t_s: Array
    turns: Array
    governed: Array
    release_s: float

    def turns_at(self, t_s: Array) -> Array:
        """Angle at these moments. [turn]"""
        return np.interp(t_s, self.t_s, self.turns)

    def time_at(self, turns: Array) -> Array:
        """Moments at which the shaft passes these angles. [s]"""
        return np.interp(turns, self.turns, self.t_s)

    def speed_over(self, start_s: float, end_s: float) -> float:
        """Turns made between two moments, over the time between them. [rev/s]"""
        first, last = self.turns_at(np.array([start_s, end_s]))
        return float((last - first) / (end_s - start_s))

    def governed_at(self, t_s: Array) -> Array:
        """Governed speed at these moments. [rev/s]"""
        return np.interp(t_s, self.t_s, self.governed)


def governed_speed(
    profile: Profile, *, rev_s: float, seconds: float, generator: np.random.Generator
) -> tuple[Array, Array, float]:
    """One way an engine may run, drawn from the ranges in docs/simulator.md.

    Parameters
    ----------
    profile : str
        Name of the way.
    rev_s : float
        Speed it starts from or swings about. [rev/s]
    seconds : float
        How long. [s]
    generator : numpy.random.Generator
        Draws what the profile leaves open.

    Returns
    -------
    t_s, governed, release_s
        Grid of moments, the speed at each, and when the ignition was cut. [s], [rev/s], [s]
    """
    t = np.arange(-0.1, seconds + 0.1 + STEP, STEP)
    never = seconds + 1.0
    draw = generator.uniform
    sign = float(generator.choice([-1.0, 1.0]))
    if profile == "steady":
        return t, np.full_like(t, rev_s), never
    if profile == "drift":
        return t, rev_s * (1 + sign * draw(0.005, 0.02) * (t / seconds - 0.5)), never
    if profile == "ramp":
        return t, rev_s * (1 + sign * draw(0.03, 0.10) * (t - seconds / 2)), never
    if profile == "hunting":
        swing, rate, start = draw(50, 200) / 60, draw(1.0, 2.5), draw(0, 1)
        return t, rev_s + swing * np.sin(2 * np.pi * (rate * t + start)), never
    if profile == "step":
        at, drop, settle = seconds * draw(0.3, 0.6), sign * draw(0.04, 0.12), draw(0.1, 0.3)
        after = np.clip(t - at, 0, None)
        answer: Array = 1 - np.exp(-after / settle) * np.cos(2 * np.pi * after * draw(0.5, 1.5))
        return t, rev_s * (1 + drop * answer), never
    if profile == "run-down":
        release, braking, drag = seconds * draw(0.3, 0.5), draw(0.2, 0.5), draw(0.2, 0.6)
        coasting = np.clip(t - release, 0, None)
        falling: Array = (1 + braking / drag) * np.exp(-drag * coasting) - braking / drag
        return t, rev_s * np.clip(falling, 0, None), release
    raise InputError("profile", profile, "must be steady, drift, ramp, hunting, step or run-down")


def ride(
    profile: Profile,
    *,
    rev_s: float,
    seconds: float,
    cycle_turns: int,
    jitter: float,
    generator: np.random.Generator,
) -> Ride:
    """Let a crankshaft run so, each working cycle a little longer or shorter than meant.

    Parameters
    ----------
    profile : str
        See `governed_speed`.
    rev_s, seconds : float
        Speed, over 0 up to 500 [rev/s], and length, over 0 up to 36 000 [s].
    cycle_turns : int
        Turns in one working cycle, 2 for a four-stroke.
    jitter : float
        Standard deviation of a cycle's length, as a share of it, 0 to 0.1.
    generator : numpy.random.Generator
        Draws profile and jitter.

    Returns
    -------
    Ride
        The angle, exact; it is itself the truth, jitter and all.

    Raises
    ------
    InputError
        Where a number is outside its range or the profile unknown.
    """
    within("rev_s", rev_s, 0, 500, "rev/s", open_low=True)
    within("seconds", seconds, 0, 36_000, "s", open_low=True)
    within("jitter", jitter, 0, 0.1)
    t, governed, release = governed_speed(profile, rev_s=rev_s, seconds=seconds, generator=generator)
    return turned(t, governed, release, cycle_turns=cycle_turns, jitter=jitter, generator=generator)


def turned(
    t: Array,
    governed: Array,
    release: float,
    *,
    cycle_turns: int,
    jitter: float,
    generator: np.random.Generator,
) -> Ride:
    """The angle along any course of governed speed [rev/s], on moments [s] `STEP` apart; see `ride` for the rest."""
    turns = np.concatenate([[0.0], np.cumsum((governed[1:] + governed[:-1]) / 2 * STEP)])
    marks = np.arange(0, turns[-1], cycle_turns)
    meant = np.interp(marks, turns, t)
    real = meant[0] + np.concatenate(
        [[0.0], np.cumsum(np.diff(meant) * (1 + jitter * generator.standard_normal(len(meant) - 1)))]
    )
    late = np.interp(t, meant, real - meant)
    return Ride(t_s=t + late, turns=turns, governed=governed, release_s=release)
