"""Where in the picture does something flicker, and how does its brightness run?"""

import numpy as np

STRONGEST = 60  # cells that are looked at
SERIES = 6  # independent courses of brightness kept of them
STANDS_OUT = 8.0  # standard deviations of the usual cell's variance by which a cell must stand out


def flickering(cells):
    """The few courses of brightness that hold what flickers, each frame a row.

    Parameters
    ----------
    cells : ndarray, shape (frames, rows, columns)
        Brightness. [any]

    Returns
    -------
    series : ndarray, shape (frames, k)
        At most `SERIES` courses, strongest first; none where nothing stands out. [any]
    place : tuple of float
        Row and column of the middle of what flickers, as shares of the picture. [1]
    angle : ndarray, shape (frames,)
        Where, seen from that middle, each frame's brightness stands out most. [turn]
    noise : float
        Sum of squares that noise alone brings into the courses. [any]
    """
    frames, rows, columns = cells.shape
    flat = cells.reshape(frames, -1).astype(np.float32)
    flat -= flat.mean(axis=0)
    variance = np.einsum("ij,ij->j", flat, flat) / frames
    usual = max(float(np.median(variance)), 1e-6)
    top = np.argsort(variance)[::-1][:STRONGEST]
    # Variances of noise scatter by sqrt(2/n) themselves; what lies well beyond that is more than noise.
    top = top[variance[top] > usual * (1 + STANDS_OUT * (2 / frames) ** 0.5)]
    if not len(top) or frames < 8:
        return np.zeros((frames, 0)), (0.5, 0.5), np.zeros(frames), 0.0
    chosen = flat[:, top].astype(float)
    rest = np.delete(np.arange(flat.shape[1]), top)
    if len(rest):  # lamps and automatic exposure change the whole picture at once
        common = flat[:, rest].mean(axis=1).astype(float)
        common -= common.mean()
        if (power := common @ common) > 0:
            chosen -= np.outer(common, common @ chosen / power)
    axes = np.linalg.eigh(chosen.T @ chosen)[1][:, ::-1]  # as a singular value decomposition, at less cost
    kept = min(SERIES, len(top))
    weight = variance[top]
    at_row, at_column = np.unravel_index(top, (rows, columns))
    middle = (float(np.average(at_row, weights=weight)), float(np.average(at_column, weights=weight)))
    angle = _direction(chosen, at_row - middle[0], at_column - middle[1])
    place = ((middle[0] + 0.5) / rows, (middle[1] + 0.5) / columns)
    return chosen @ axes[:, :kept], place, angle, frames * usual * kept


def _direction(chosen, down, right):
    """Direction of what stands out: bright on dark or dark on bright, whichever is rarer. [turn]"""
    lean = float(np.einsum("ij,ij,ij->", chosen, chosen, chosen))
    stands_out = np.clip(chosen if lean >= 0 else -chosen, 0, None) ** 2
    return np.arctan2(stands_out @ down, stands_out @ right) / (2 * np.pi)
