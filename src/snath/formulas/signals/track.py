"""Find the path of speed through all frames that explains a recording best (Viterbi)."""

from typing import Any

import numpy as np

STRAYS = np.array([-16, -11, -7, -4, -2, -1, 0, 1, 2, 4, 7, 11, 16])  # places off where the slope leads
STRAY_COST, STRAY_SCALE = 0.5, 3.0  # evidence lost by straying: cost ln(1 + (places / scale)^2)
LOSS = (STRAY_COST * np.log1p((STRAYS / STRAY_SCALE) ** 2)).astype(np.float32)
LACKING = 6.0  # evidence that a frame may lack beside its best for its place to be tried first [nat]
ROUNDING = 0.01  # of sums of evidence [nat]
FEW = 12  # such places in a frame, on average, up to which they are


def best_path(score: Any, slope_places: Any) -> Any:
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
    most, lacking = score.max(axis=1), LACKING
    for _ in range(2):
        frame, place = np.nonzero(score >= most[:, None] - lacking)
        if len(frame) > FEW * len(score):
            break
        path, evidence = _among(frame, place, score[frame, place], place - slope_places[frame, place])
        short = float(most.sum()) - evidence
        if short < lacking:
            return path  # who takes any other place has lost more there already
        lacking = short + ROUNDING
    return _through(score, slope_places)


def _among(frame: Any, place: Any, score: Any, aim: Any) -> Any:
    """The path of most evidence by way of some places of each frame, and that evidence."""
    furthest = int(max(place.max() - aim.min(), aim.max() - place.min(), STRAYS[-1]))
    price = np.full(2 * furthest + 1, np.inf, dtype=np.float32)
    price[STRAYS + furthest] = LOSS
    aim = aim - furthest
    edges = [0, *(np.flatnonzero(np.diff(frame)) + 1).tolist(), len(frame)]
    before, reached, back = slice(0, edges[1]), score[: edges[1]], []
    for here in map(slice, edges[1:], edges[2:]):
        ways = reached - price[place[before] - aim[here, None]]
        came = ways.argmax(axis=1)
        back.append(came + before.start)
        before, reached = here, ways.max(axis=1) + score[here]
    path = [before.start + int(reached.argmax())]
    for came, start in zip(back[::-1], edges[-2:0:-1], strict=True):
        path.append(came[path[-1] - start])
    return place[path[::-1]], float(reached.max())


def _through(score: Any, slope_places: Any) -> Any:
    """The path of most evidence by way of any places."""
    frames, places = score.shape
    steepest = int(np.abs(slope_places).max(initial=0))
    edge = steepest + int(STRAYS[-1])
    padded = np.full(places + 2 * edge, -1e9, dtype=np.float32)
    aim = np.arange(places) - slope_places + steepest
    around = np.arange(places + 2 * steepest) + (STRAYS - STRAYS[0])[:, None]
    reached = np.empty((frames, places), dtype=np.float32)
    reached[0] = score[0]
    for i in range(1, frames):
        padded[edge : edge + places] = reached[i - 1]
        ways = padded.take(around)
        ways -= LOSS[:, None]
        np.add(ways.max(axis=0).take(aim[i]), score[i], out=reached[i])
    path = np.empty(frames, dtype=int)
    path[-1] = reached[-1].argmax()
    for i in range(frames - 1, 0, -1):  # which way was best matters on the path alone
        padded[edge : edge + places] = reached[i - 1]
        came = aim[i, path[i]] + STRAYS - STRAYS[0]
        path[i - 1] = min(max(came[(padded[came] - LOSS).argmax()] - edge, 0), places - 1)
    return path


def between_places(score: Any, path: Any) -> Any:
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
    return np.where(path == inner, top_between(left, mid, right), 0.0)


def top_between(left: Any, mid: Any, right: Any) -> Any:
    """How far the top of a parabola through three neighbours lies from the middle one, -1/2 to 1/2; 0 where none is."""
    bend = left - 2 * mid + right
    off = 0.5 * (left - right) / np.where(bend < 0, bend, np.inf)
    return np.minimum(np.maximum(off, -0.5), 0.5)
