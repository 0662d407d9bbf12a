"""Find the part of the picture that flickers, and follow its brightness."""

from dataclasses import dataclass
from typing import Any

import numpy as np

STRONGEST, SECTORS = 60, 60  # cells that are looked at, and the parts of the turn in which they are sought
WEAK = 0.1  # share of the strongest cells' variance under which a cell is no place where the mark comes by
SERIES = 6  # independent courses of brightness kept of them
QUIET = 0.05  # share of a picture under a flash that it does not reach, at least
STANDS_OUT = 8.0  # standard deviations of the usual cell's variance by which a cell must stand out


@dataclass(frozen=True, slots=True)
class Region:
    """What flickers in a film.

    Attributes
    ----------
    series : ndarray, shape (frames, k)
        At most `SERIES` courses of brightness, strongest first; none where nothing stands out. [any]
    place : tuple of float
        Row and column of the middle of what flickers, as shares of the picture.
    angle : ndarray, shape (frames,)
        Where, seen from that middle, each frame's brightness stands out most, times the number of marks. [turn]
    noise : float
        Sum of squares that noise alone brings into the courses. [any]
    at : ndarray, shape (cells,)
        Every cell that stands out, counted row by row.
    spot : ndarray, shape (frames,)
        Brightness of the spot where it flickers most. [any]
    """

    series: np.ndarray
    place: tuple[float, float]
    angle: np.ndarray
    noise: float
    at: np.ndarray
    spot: np.ndarray


def flickering(cells: Any, *, marks: int = 1, lit_at_once: bool = False) -> Region:
    """The few courses of brightness that hold what flickers, and where it is.

    Parameters
    ----------
    cells : ndarray, shape (frames, rows, columns)
        Brightness. [any]
    marks : int
        Alike marks round the part. [1]
    lit_at_once : bool
        Whether most of the picture may flicker, lit by a flash: then what all of it does is not taken out.

    Returns
    -------
    Region
        With no courses where nothing stands out.
    """
    frames, rows, columns = cells.shape
    flat = cells.reshape(frames, -1).astype(np.float32)
    flat -= flat.mean(axis=0)
    variance = np.einsum("ij,ij->j", flat, flat) / frames
    quiet = np.quantile(variance, QUIET) if lit_at_once else np.median(variance)
    usual = max(float(quiet), 1e-6)
    # Variances of noise scatter by sqrt(2/n) themselves; what lies well beyond that is more than noise.
    at = np.flatnonzero(variance > usual * (1 + STANDS_OUT * (2 / frames) ** 0.5))
    if not len(at) or frames < 8:
        return Region(np.zeros((frames, 0)), (0.5, 0.5), np.zeros(frames), 0.0, at[:0], np.zeros(frames))
    strongest = at[np.argsort(variance[at])[::-1]]
    top = _all_round(strongest, variance[strongest], columns)
    courses = flat[:, [*top, *strongest[:STRONGEST]]].astype(float)
    rest = np.delete(np.arange(flat.shape[1]), top)
    if len(rest) and not lit_at_once:  # lamps and automatic exposure change the whole picture at once
        common = flat[:, rest].mean(axis=1).astype(float)
        common -= common.mean()
        if (power := common @ common) > 0:
            courses -= np.outer(common, common @ courses / power)
    chosen, spot = courses[:, : len(top)], _principal(courses[:, len(top) :])[:, 0]
    kept = min(SERIES, len(top))
    weight = variance[top]
    at_row, at_column = np.unravel_index(top, (rows, columns))
    middle = (float(np.average(at_row, weights=weight)), float(np.average(at_column, weights=weight)))
    angle = _direction(chosen, at_row - middle[0], at_column - middle[1], marks)
    place = ((middle[0] + 0.5) / rows, (middle[1] + 0.5) / columns)
    return Region(_principal(chosen)[:, :kept], place, angle, frames * usual * kept, at, spot)


def _principal(courses: Any) -> Any:
    """Principal courses, strongest first: as a singular value decomposition, at less cost."""
    return courses @ np.linalg.eigh(courses.T @ courses)[1][:, ::-1]


def _all_round(at: Any, variance: Any, columns: Any) -> Any:
    """Of these cells, strongest first, some from every part of the turn round their middle.

    The strongest alone crowd on one spot, which sees the mark come by and knows nothing of where it is at other times.
    """
    strong = variance > WEAK * variance[:STRONGEST].mean()
    at, variance = at[strong], variance[strong]
    middle = np.average((at // columns, at % columns), axis=1, weights=variance)
    part = np.floor(
        SECTORS * (np.arctan2(at // columns - middle[0], at % columns - middle[1]) / (2 * np.pi) % 1)
    )
    rank = np.zeros(len(at))
    for one in np.unique(part):
        rank[part == one] = np.arange(np.count_nonzero(part == one))
    return at[np.argsort(rank, kind="stable")[:STRONGEST]]


def _direction(chosen: Any, down: Any, right: Any, marks: Any) -> Any:
    """Direction of what stands out, times the marks: bright on dark or dark on bright, whichever is rarer. [turn]"""
    lean = float(np.einsum("ij,ij,ij->", chosen, chosen, chosen))
    stands_out = np.clip(chosen if lean >= 0 else -chosen, 0, None) ** 2
    return np.angle(stands_out @ np.exp(1j * marks * np.arctan2(down, right))) / (2 * np.pi)
