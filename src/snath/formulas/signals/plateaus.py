"""Find the stretches of a track over which the governor held one speed, and that speed."""

import math
from typing import Any

import numpy as np

from snath.formulas.signals.candidates import Plateau
from snath.quantities.errors import InputError
from snath.quantities.message import Message

SHORTEST_S = 1.0  # a speed held for less is on its way to another
FEWEST = 4  # points a straight line may be trusted with
SMALLEST_STEP = 0.01  # share; what differs by less is one held speed
HELD_DRIFT = 0.01  # share of the speed per second; warming up drifts by less, a throttle being moved by more
QUIETEST = 0.003  # share; a governor holds no better than this over a second, from memory
# cost of one more stretch, in units of ln(points); points beside each other are no fresh evidence
PENALTY = 10.0
STEP_S = 0.1  # points closer together are first brought to their means over this, the step of a sound's track
MOST_POINTS = 2000  # a longer track is thinned, so that the work stays bounded
SWING_S = 2.5  # longest period of a hunting engine
SMOOTHED = 5  # points of the running median that takes single lost points away


def plateaus(*, t_s: Any, rev_s: Any, u: Any) -> tuple[Plateau, ...]:
    """Stretches in which one speed is held, in order.

    The track is cut into straight pieces by optimal partitioning: the cut that makes the squares about
    the lines, over the track's own noise, plus a penalty for each piece the least. Pieces that fall or
    rise steadily are not held; neighbours without a step between them, and the swings of a hunting
    engine, are one plateau.

    Parameters
    ----------
    t_s, rev_s, u : array_like, shape (n,)
        Times, rising [s], speeds [rev/s] and their standard uncertainties. [rev/s]

    Returns
    -------
    tuple of Plateau
        None where the track is too short or never held.

    Raises
    ------
    InputError
        If the three differ in length.

    References
    ----------
    B. Jackson et al., An algorithm for optimal partitioning of data on an interval, IEEE Signal
    Processing Letters 12 (2005) 105 (from memory).
    """
    t, speed, doubt = (np.asarray(one, dtype=float) for one in (t_s, rev_s, u))
    if not len(t) == len(speed) == len(doubt):
        points = f"{len(t)}, {len(speed)}, {len(doubt)}"
        raise InputError("track", points, Message("fault.equally-many"))
    if len(t) < FEWEST:
        return ()
    t, speed, doubt = _in_steps(t, speed, doubt)
    if len(t) < FEWEST:
        return ()
    every = -(-len(t) // MOST_POINTS)
    smooth = _smoothed(speed)[::every]
    cuts = _cuts(t[::every], smooth / float(np.median(smooth)), _noise(speed, doubt))
    pieces = [(a * every, min(b * every, len(t))) for a, b in cuts]
    swings = _one_swing(t, speed, pieces)
    return tuple(_plateau(t, speed, doubt, a, b) for a, b in _joined(t, _smoothed(speed), swings))


def _in_steps(t: Any, speed: Any, doubt: Any) -> Any:
    """Means over each step where points lie closer, as turn by turn: what turns differ by is no change of speed."""
    if float(np.median(np.diff(t))) > 0.75 * STEP_S:
        return t, speed, doubt
    _, first, count = np.unique(((t - t[0]) / STEP_S).astype(int), return_index=True, return_counts=True)
    return tuple(np.add.reduceat(each, first) / count for each in (t, speed, doubt))


def _smoothed(speed: Any) -> Any:
    half = SMOOTHED // 2
    padded = np.pad(speed, half, mode="edge")
    return np.median(np.lib.stride_tricks.sliding_window_view(padded, SMOOTHED), axis=1)


def _noise(speed: Any, doubt: Any) -> float:
    """Noise of one point as a share of the speed, from what neighbours differ by."""
    middle = float(np.median(speed))
    differ = float(np.median(np.abs(np.diff(speed)))) * 1.4826 / math.sqrt(2)
    return max(differ / middle, float(np.median(doubt)) / middle, QUIETEST)


def _cuts(t: Any, share: Any, noise: Any) -> list[tuple[int, int]]:
    """The cheapest pieces as index ranges; one on its way to another speed may be shorter than a held one."""
    n = len(t)
    since = t - t[0]
    rows = (np.ones(n), since, since * since, share, since * share, share * share)
    sums = np.concatenate([np.zeros((6, 1)), np.cumsum(np.array(rows), axis=1)], axis=1)
    penalty = PENALTY * math.log(n)
    best, before = np.full(n + 1, np.inf), np.zeros(n + 1, dtype=int)
    best[0] = 0.0
    fewest = min(FEWEST, n)
    for end in range(fewest, n + 1):
        starts = np.arange(end - fewest + 1)
        cost = best[starts] + _squares(sums[:, [end]] - sums[:, starts]) / noise**2 + penalty
        before[end] = starts[int(cost.argmin())]
        best[end] = float(cost.min())
    found, end = [], n
    while end > 0:
        found.append((int(before[end]), end))
        end = int(before[end])
    return found[::-1]


def _squares(sums: Any) -> Any:
    """Sum of squares about the straight line, of each range whose sums are given."""
    count, x, xx, y, xy, yy = sums
    spread = np.maximum(xx - x * x / count, 1e-12)
    return np.maximum(yy - y * y / count - (xy - x * y / count) ** 2 / spread, 0.0)


def _one_swing(t: Any, speed: Any, pieces: Any) -> list[tuple[int, int]]:
    """Pieces with the swings of a hunting engine put together: three or more turns, none long."""
    out: list[tuple[int, int]] = []
    i = 0
    while i < len(pieces):
        last = i
        while last < len(pieces) and t[pieces[last][1] - 1] - t[pieces[last][0]] < SWING_S:
            last += 1
        means = np.array([speed[a:b].mean() for a, b in pieces[i:last]])
        slopes = np.array([np.polyfit(t[a:b], speed[a:b], 1)[0] for a, b in pieces[i:last]])
        turns = max(_reversals(np.diff(means)), _reversals(slopes))
        if turns >= 3:
            out.append((pieces[i][0], pieces[last - 1][1]))
            i = last
        else:
            out += pieces[i : max(last, i + 1)]
            i = max(last, i + 1)
    return out


def _reversals(steps: Any) -> int:
    return int(np.sum(steps[1:] * steps[:-1] < 0)) if len(steps) > 1 else 0


def _joined(t: Any, speed: Any, pieces: Any) -> list[tuple[int, int]]:
    """The pieces that are held, neighbours put together where no step lies between them."""
    held: list[tuple[int, int]] = []
    reached = 0.0
    for a, b in pieces:
        slope, level = np.polyfit(t[a:b] - t[a], speed[a:b], 1)
        if t[b - 1] - t[a] < 0.9 * SHORTEST_S or abs(slope) > HELD_DRIFT * float(speed[a:b].mean()):
            continue
        before = float(speed[slice(*held[-1])].mean()) if held else math.inf
        step = min(abs(level - reached), abs(float(speed[a:b].mean()) - before))
        if step < SMALLEST_STEP * reached:
            held[-1] = (held[-1][0], b)
        else:
            held.append((a, b))
        reached = level + slope * (t[b - 1] - t[a])
    return held


def _plateau(t: Any, speed: Any, doubt: Any, a: Any, b: Any) -> Plateau:
    """Mean of a stretch; its doubt from how the stretch scatters, a second's points being one."""
    seconds = max(float(t[b - 1] - t[a]), SHORTEST_S)
    scatter = float(np.std(speed[a:b])) / math.sqrt(seconds)
    noise = math.sqrt(float(np.mean(doubt[a:b] ** 2)) / (b - a))
    return Plateau(float(np.mean(speed[a:b])), math.hypot(scatter, noise), float(t[a]), float(t[b - 1]))
