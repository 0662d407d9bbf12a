"""List the falls of speed that may follow a release, and how usual each is.

Friction that does not depend on speed and drag that grows with it slow a shaft down along a curve of two
numbers (docs/sound.md, equation 14).
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import map_coordinates

from snath.formulas.signals.sound_scatter import Scatter

BRAKES = np.arange(0.0125, 0.86, 0.025)  # part of the fall that is friction, of the speed at release [1/s]
DRAGS = np.arange(0.04, 1.06, 0.05)  # part that is drag [1/s]
USUAL_BRAKE, USUAL_DRAG = 0.33, 0.37  # settled on simulated clips [1/s]
SPREAD = 0.5  # of their logarithms: machines differ


@dataclass(frozen=True, slots=True)
class Falls:
    """Falls n = speed ((1 + brake / drag) exp(-drag s) - brake / drag), s the time since `begin`.

    Attributes
    ----------
    brake, drag : ndarray, shape (falls,)
        Friction as a share of the speed at the release, and drag. [1/s], [1/s]
    begin : ndarray, shape (falls,)
        Release. [s]
    speed : ndarray, shape (falls,)
        Until then. [rev/s]
    belief : ndarray, shape (falls,)
        In each, of 1 in all.
    """

    brake: NDArray[np.float64]
    drag: NDArray[np.float64]
    begin: NDArray[np.float64]
    speed: NDArray[np.float64]
    belief: NDArray[np.float64]

    def at(self, t: Any) -> Any:
        """Speeds at some times [s], shape (falls, times). [rev/s]"""
        return self.speed[:, None] * share_left(
            self.brake[:, None], self.drag[:, None], np.asarray(t) - self.begin[:, None]
        )


@dataclass(frozen=True, slots=True)
class Grid:
    """Log belief before the puffs, over evenly spaced brakes, drags and releases, shape (brakes, drags, begins)."""

    brakes: NDArray[np.float64]
    drags: NDArray[np.float64]
    begins: NDArray[np.float64]
    belief: NDArray[np.float64]

    def falls(self, released: Any, speed: Any) -> Falls:
        """All of them, for a release near a moment from a speed."""
        brake, drag, late = (
            x.ravel() for x in np.meshgrid(self.brakes, self.drags, self.begins, indexing="ij")
        )
        share = np.exp(self.belief - self.belief.max()).ravel()
        return Falls(brake, drag, released + late, np.full(brake.shape, speed), share / share.sum())

    def drawn(self, count: Any, scatter: Scatter) -> Any:
        """So many falls, as often as they are believed in, spread evenly over their cells."""
        share = np.exp(self.belief - self.belief.max()).ravel()
        wanted = (np.arange(count) + scatter.even(1)) / count
        cell = np.searchsorted(np.cumsum(share / share.sum()), wanted).clip(0, share.size - 1)
        places = np.unravel_index(cell, self.belief.shape)
        axes = (self.brakes, self.drags, self.begins)
        return (
            axis[place] + (axis[1] - axis[0]) * (scatter.even(count) - scatter.even(count))
            for axis, place in zip(axes, places, strict=True)
        )

    def of(self, *fall: Any) -> Any:
        """Log belief in some falls, straight between those of the grid. [nat]"""
        axes = (self.brakes, self.drags, self.begins)
        place = np.stack([(x - axis[0]) / (axis[1] - axis[0]) for x, axis in zip(fall, axes, strict=True)])
        return map_coordinates(self.belief, place, order=1, mode="nearest")


def either(one: Falls, other: Falls, share: Any) -> Falls:
    """Falls of one kind by so much belief and of another by the rest. [1]"""
    return Falls(
        np.append(one.brake, other.brake),
        np.append(one.drag, other.drag),
        np.append(one.begin, other.begin),
        np.append(one.speed, other.speed),
        np.append(one.belief * share, other.belief * (1 - share)),
    )


def usual(brake: Any, drag: Any) -> Any:
    """Log belief in a brake and a drag before hearing, up to a constant. [nat]"""
    said = [
        -0.5 * (np.log(value / middle) / SPREAD) ** 2 - np.log(value)
        for value, middle in ((brake, USUAL_BRAKE), (drag, USUAL_DRAG))
    ]
    return said[0] + said[1]


def share_left(brake: Any, drag: Any, since: Any) -> Any:
    """Share of the speed that is left so long after the release. [1/s], [1/s], [s] to [1]"""
    return np.maximum((1 + brake / drag) * np.exp(-drag * np.maximum(since, 0)) - brake / drag, 1e-6)


def time_to_turn(brake: Any, drag: Any, since: Any, angle: Any) -> Any:
    """How long a shaft takes to turn on, and the share of the speed that is left then.

    Parameters
    ----------
    brake, drag : ndarray
        Fall, see `Falls`. [1/s], [1/s]
    since : ndarray
        Time since the release, less than 0 before it. [s]
    angle : ndarray
        Turns over the speed at the release. [s]

    Returns
    -------
    ndarray, ndarray
        Time and share, infinite and 0 where it stops before. [s], [1]
    """
    held = np.minimum(angle, np.maximum(-since, 0))
    left = share_left(brake, drag, since)
    slowing = drag + brake / left
    ahead = (angle - held) / left
    root = np.sqrt(np.maximum(1 - 2 * slowing * ahead, 0))
    spent = 2 * ahead / (1 + root)  # were the slowing even; what drag takes less of it is the rest
    spent -= (
        drag * slowing / 6 * (spent * spent * spent) / np.maximum(root, 0.1)
    )  # a power would cost tenfold
    return np.where(root > 0, held + spent, np.inf), np.where(root > 0, left * (1 - slowing * spent), 0)
