"""Take out of a film's pictures what all of a picture does: lamps, exposure, and the camera's own motion."""

from typing import Any

import numpy as np
from scipy.ndimage import shift

PEDESTAL = 4096.0  # brightness added before ratios are taken, so that dark cells do not make them wild
LEAST_MOTION = 0.05  # cells by which the camera must move, root mean square, to be set right
PASSES = 2
FARTHEST = 6.0  # cells by which a picture is set right at most


def evenly_lit(cells: Any) -> Any:
    """The pictures with each row's light as it is on the average.

    A lamp on the mains and a camera that changes its exposure make a row as a whole brighter by a factor. The factor is
    the median over the row's cells, so that a mark, which covers few of them, leaves no trace in it.

    Parameters
    ----------
    cells : ndarray, shape (frames, rows, columns)
        Brightness. [any]

    Returns
    -------
    ndarray, shape (frames, rows, columns)
        Brightness, single precision. [any]
    """
    raised = np.asarray(cells, dtype=np.float32) + np.float32(PEDESTAL)
    usual = raised.mean(axis=0)
    light = np.median(raised[:, :, ::2] / usual[:, ::2], axis=2)
    return raised / light[:, :, None]


def camera_motion(cells: Any) -> Any:
    """How far each picture lies from the mean of all, to first order.

    Least squares of what a picture differs by on the slopes of the mean picture; cells that change for reasons of
    their own count less, by what is left of them.

    Parameters
    ----------
    cells : ndarray, shape (frames, rows, columns)
        Brightness. [any]

    Returns
    -------
    ndarray, shape (frames, 2)
        Down and right. [cell]
    """
    usual = cells.mean(axis=0)
    slopes = np.stack([-g.ravel() for g in np.gradient(usual)], axis=1).astype(np.float32)
    off = (cells - usual).reshape(len(cells), -1)
    weight = 1 / (np.square(off).mean(axis=0) + 1)
    for _ in range(2):
        heavy = slopes * weight[:, None]
        found = off @ heavy @ np.linalg.pinv(heavy.T @ slopes)
        weight = 1 / (np.square(off - found @ slopes.T).mean(axis=0) + 1)
    return np.asarray(found, dtype=float)


def steadied(cells: Any) -> Any:
    """The pictures evenly lit and as from a camera that stands still.

    Parameters
    ----------
    cells : ndarray, shape (frames, rows, columns)
        Brightness. [any]

    Returns
    -------
    ndarray, shape (frames, rows, columns)
        Brightness, single precision. [any]
    """
    lit = evenly_lit(cells)
    moved = np.zeros((len(lit), 2))
    right = lit
    for _ in range(PASSES):
        motion = camera_motion(right)
        if np.sqrt((motion**2).sum(axis=1).mean()) < LEAST_MOTION:
            break
        moved = np.clip(moved + motion, -FARTHEST, FARTHEST)
        right = np.stack(
            [shift(picture, -by, order=3, mode="nearest") for picture, by in zip(lit, moved, strict=True)]
        )
    return right
