"""Find the moment at which a speed that falls comes to rest, by the end of its course alone.

Nothing is assumed of the brake: the last of the fall is a straight line or bends upwards into the past, and
after the standstill there is only the reading's own noise. Equations: docs/stopping.md.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
import scipy

from snath.quantities.errors import InputError, within
from snath.quantities.message import Message

FEWEST = 8  # points: four unknowns and as many to judge them by
TRIED = 400  # moments tried between the first point and the last
LEVEL = 3.841458820694124  # 95 % of chi-square with one degree of freedom: 1.959964 squared


@dataclass(frozen=True, slots=True)
class Rest:
    """When it came to rest, on the track's clock.

    Attributes
    ----------
    standstill : float
        Most likely. [s]
    earliest, latest : float
        Ends of the 95 % interval; `latest` infinite where the points do not show that it rests. [s]
    """

    standstill: float
    earliest: float
    latest: float


def rest_moment(*, t: Any, rotation: Any, u: Any) -> Rest:
    """Moment of standstill in the last of a fall and what follows it.

    Parameters
    ----------
    t : array_like [shape=(n,)]
        Times, rising, at least 8. [s]
    rotation : array_like [shape=(n,)]
        Speed, 0 to 500: some points of the fall, all after it. [rev/s]
    u : array_like
        Standard uncertainty of the points, over 0 and up to 50. [rev/s]

    Returns
    -------
    Rest

    Raises
    ------
    InputError
        If there are too few points or times do not rise.

    References
    ----------
    .. [1] Profile likelihood, Wilks 1938 (from memory); docs/stopping.md.
    """
    times = np.atleast_1d(within("t", t, -1e9, 1e9, "s"))
    speed = np.atleast_1d(within("rotation", rotation, 0, 500, "rev/s"))
    spread = np.broadcast_to(within("u", u, 0, 50, "rev/s", open_low=True), speed.shape)
    if times.shape != speed.shape or times.size < FEWEST:
        given = f"{times.size} times, {speed.size} speeds"
        raise InputError("track", given, Message("stop.too-short", least=FEWEST))
    if np.any(np.diff(times) <= 0):
        raise InputError("track", Message("stop.times-back"), Message("stop.times-rise"))
    tried = np.linspace(times[0], times[-1], TRIED + 1)[1:]
    loss = np.array([_loss(times, speed, spread, moment) for moment in tried])
    best = int(loss.argmin())
    level = LEVEL * max(1.0, loss[best] / max(1, times.size - 4))
    near = np.flatnonzero(loss <= loss[best] + level)
    return Rest(
        standstill=float(tried[best]),
        earliest=float(tried[max(near[0] - 1, 0)]),
        latest=float("inf") if near[-1] == TRIED - 1 else float(tried[near[-1] + 1]),
    )


def _loss(times: Any, speed: Any, spread: Any, moment: Any) -> Any:
    """Chi-square of the best fall that ends at a moment: slope, bend, and noise at rest, none below nothing."""
    left = np.maximum(moment - times, 0.0)
    columns = np.stack([left == 0, left, left**2], axis=1) / spread[:, None]
    return scipy.optimize.nnls(columns, speed / spread)[1] ** 2
