"""Measure how a governor holds and recovers speed: steady band, overshoot, recovery time.

All figures are of speed; over rated speed they are those of an alternator's frequency as well.
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from snath.formulas.governor.hunting import steady_track
from snath.formulas.governor.smooth import smoothed
from snath.formulas.governor.top import expected_reach, highest, shown_noise
from snath.quantities.errors import InputError, within
from snath.quantities.message import Message

STEADY_LAST = 2.0  # s at the end of a stretch that must be settled
STAYS = 1.0  # s inside a band that count as staying
BEFORE = 1.0  # s of running that must be seen before a change of load


@dataclass(frozen=True, slots=True)
class SteadyBand:
    """How far speed wanders while the load stands still.

    Attributes
    ----------
    mean, lowest, highest : float
        [rev/s]
    width : float
        Highest less lowest as seen, the reading's own noise in it: the most it can be. [rev/s]
    noise_width : float
        Width that the stated uncertainty of the points alone would show. [rev/s]
    top : float
        What speed went up to, single instants included and the reading's own noise taken off. [rev/s]
    """

    mean: float
    lowest: float
    highest: float
    width: float
    noise_width: float
    top: float

    @property
    def least_width(self) -> float:
        """Width left when all the noise is taken off: the least it is likely to be. [rev/s]"""
        return max(0.0, self.width - self.noise_width)


@dataclass(frozen=True, slots=True)
class Response:
    """What speed did after a change of load.

    Attributes
    ----------
    before, after : float
        Mean speed before the change, and settled after it. [rev/s]
    extreme : float
        Farthest speed from `before`. [rev/s]
    deviation : float
        `extreme` less `before`; negative for a dip. [rev/s]
    overshoot : float
        How far it went past `after`, never negative. [rev/s]
    recovery : float
        From leaving the band around `before` until it stays in the band around `after`; infinite where
        the track ends before it has stayed there for a second. [s]
    band : float
        Full width of that band. [rev/s]
    """

    before: float
    after: float
    extreme: float
    deviation: float
    overshoot: float
    recovery: float
    band: float


def steady_band(*, t: Any, rotation: Any, u: Any = 0.0) -> SteadyBand:
    """Width of the band speed stays in over one stretch of steady load.

    Parameters
    ----------
    t : array_like [shape=(n,)]
        Times, rising, at least 6 s and 40 points. [s]
    rotation : array_like [shape=(n,)]
        Speed, over 0 and up to 500. [rev/s]
    u : array_like
        Standard uncertainty of the points, 0 to 50. [rev/s]

    Returns
    -------
    SteadyBand

    Raises
    ------
    InputError
        If the track is too short, not rising in time or not a number.

    References
    ----------
    .. [1] ISO 8528-5, steady-state frequency band (from memory). Expected range of n normal points by
       Blom's plotting position (from memory).
    """
    times, speeds = steady_track(t, rotation)
    noise = within("u", u, 0, 50, "rev/s")
    low, high = float(speeds.min()), float(speeds.max())
    own = float(np.sqrt(np.mean(np.square(noise))))
    mean = float(speeds.mean())
    return SteadyBand(
        mean=mean,
        lowest=low,
        highest=high,
        width=high - low,
        noise_width=2 * expected_reach(times.size) * own,
        # no more is taken off for noise than neighbours show
        top=mean + highest(speeds, noise=min(own, shown_noise(speeds))),
    )


def load_response(*, t: Any, rotation: Any, change: float, band: float) -> Response:
    """Overshoot and recovery after a change of load at a known moment.

    Parameters
    ----------
    t : array_like [shape=(n,)]
        Times, rising, at least 6 s and 40 points, 1 s of them before the change, 3 s after. [s]
    rotation : array_like [shape=(n,)]
        Speed, over 0 and up to 500. [rev/s]
    change : float
        When the load changed, -1e9 to 1e9. [s]
    band : float
        Full width of the band to recover into, over 0 and up to 100. [rev/s]

    Returns
    -------
    Response

    Raises
    ------
    InputError
        If the track is too short around the change, not rising in time or not a number.

    Notes
    -----
    A parabola through five neighbours replaces each point first, so that one wild point is no overshoot.

    References
    ----------
    .. [1] ISO 8528-5, transient frequency and recovery time (from memory).
    """
    times, speeds = steady_track(t, rotation)
    moment = within("change", change, -1e9, 1e9, "s")
    width = within("band", band, 0, 100, "rev/s", open_low=True)
    if moment - times[0] < BEFORE or times[-1] - moment < STEADY_LAST + 1:
        raise InputError(
            "track",
            Message("track.change-at", begin=float(times[0]), end=float(times[-1]), moment=float(moment)),
            Message("track.too-short-change", before=BEFORE, after=STEADY_LAST + 1),
        )
    before = float(speeds[times < moment].mean())
    after = float(speeds[times > times[-1] - STEADY_LAST].mean())
    smooth = smoothed(speeds)
    since = times >= moment
    away = smooth[since] - before
    farthest = float(away[np.argmax(np.abs(away))])
    sense, extreme = np.sign(farthest), before + farthest
    return Response(
        before=before,
        after=after,
        extreme=extreme,
        deviation=extreme - before,
        overshoot=float(max(0.0, sense * (extreme - after))),
        recovery=_recovery(times[since], smooth[since], before, after, width / 2),
        band=float(width),
    )


def _recovery(times: Any, speeds: Any, before: Any, after: Any, half: Any) -> Any:
    """From the last moment inside the first band to the first moment after which the second is kept."""
    left = np.flatnonzero(np.abs(speeds - before) > half)
    outside = np.flatnonzero(np.abs(speeds - after) > half)
    if not left.size or not outside.size:
        return 0.0
    if times[-1] - times[outside[-1]] < STAYS:
        return math.inf
    back = times[outside[-1] + 1]
    return float(max(0.0, back - times[left[0]]))
