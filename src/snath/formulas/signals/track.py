"""Which path of speed through all frames explains the recording best?"""

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

SLOPE_TOP = 1.6  # fastest change looked for, as a share of the speed per second [1/s]


def best_path(score, reach, cost):
    """The path of most evidence, by dynamic programming.

    Parameters
    ----------
    score : ndarray, shape (frames, places)
        Evidence. [1]
    reach : int
        Most places moved from frame to frame. [1]
    cost : float
        Evidence lost for a move of one place, growing with its square. [1]

    Returns
    -------
    ndarray of int, shape (frames,)
        Place in each frame.
    """
    frames, places = score.shape
    move = np.arange(-reach, reach + 1)
    loss = (cost * move**2).astype(np.float32)
    came = np.empty((frames, places), dtype=np.int16)
    padded = np.full(places + 2 * reach, -np.inf, dtype=np.float32)
    rows = np.arange(places)
    best = score[0].copy()
    for i in range(1, frames):
        padded[reach : reach + places] = best
        reached = sliding_window_view(padded, 2 * reach + 1) - loss
        step = reached.argmax(axis=1)
        came[i] = step - reach
        best = reached[rows, step] + score[i]
    path = np.empty(frames, dtype=int)
    path[-1] = best.argmax()
    for i in range(frames - 1, 0, -1):
        path[i - 1] = path[i] + came[i, path[i]]
    return path


def between_places(score, path):
    """How far the top of the evidence lies beside each place of a path, by a parabola.

    Parameters
    ----------
    score : ndarray, shape (frames, places)
        Evidence. [1]
    path : ndarray of int, shape (frames,)
        Places. [1]

    Returns
    -------
    ndarray, shape (frames,)
        Share of a place, from -1/2 to 1/2. [1]
    """
    rows = np.arange(len(path))
    inner = np.clip(path, 1, score.shape[1] - 2)
    left, mid, right = score[rows, inner - 1], score[rows, inner], score[rows, inner + 1]
    bend = left - 2 * mid + right
    off = np.where(bend < 0, 0.5 * (left - right) / np.where(bend < 0, bend, 1), 0.0)
    return np.clip(off, -0.5, 0.5)
