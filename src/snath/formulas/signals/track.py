"""Which path of speed through all frames explains the recording best?"""

import numpy as np

STRAYS = np.array([-16, -11, -7, -4, -2, -1, 0, 1, 2, 4, 7, 11, 16])  # places off where the slope leads
STRAY_COST, STRAY_SCALE = 0.5, 3.0  # evidence lost by straying: cost ln(1 + (places / scale)^2)
SLOPE_PLACES = 90  # most places a slope may carry a path between frames


def best_path(score, slope_places):
    """The path of most evidence, by dynamic programming.

    Parameters
    ----------
    score : ndarray, shape (frames, places)
        Evidence. [1]
    slope_places : ndarray of int, shape (frames, places)
        How far the likeliest slope at a place carries the path from the frame before. [places]

    Returns
    -------
    ndarray of int, shape (frames,)
        Place in each frame.
    """
    frames, places = score.shape
    loss = (STRAY_COST * np.log1p((STRAYS / STRAY_SCALE) ** 2)).astype(np.float32)
    reached = np.empty((frames, places), dtype=np.float32)
    edge = SLOPE_PLACES + int(STRAYS[-1])
    padded = np.full(places + 2 * edge, -1e9, dtype=np.float32)
    rows = np.arange(places, dtype=np.int32)
    aim = rows - slope_places + edge
    strays, lost = STRAYS[:, None], loss[:, None]
    reached[0] = score[0]
    for i in range(1, frames):
        padded[edge : edge + places] = reached[i - 1]
        ways = padded.take(aim[i] + strays, mode="clip")
        ways -= lost
        np.add(ways.max(axis=0), score[i], out=reached[i])
    path = np.empty(frames, dtype=int)
    path[-1] = reached[-1].argmax()
    for i in range(frames - 1, 0, -1):  # which way was best matters on the path alone
        padded[edge : edge + places] = reached[i - 1]
        came = aim[i, path[i]] + STRAYS
        path[i - 1] = min(max(came[(padded[came] - loss).argmax()] - edge, 0), places - 1)
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
    return np.where(path == inner, np.clip(off, -0.5, 0.5), 0.0)
