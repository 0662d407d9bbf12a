"""Find the turn by the repeat of gaps, and the map from each moment to that a turn later.

Gaps come round once a turn, whatever the layout and however many pulses are lost, come twice or are none. The
turn is the shortest lag after which as many gaps return as after any. Each pulse is then linked to its
partner a turn later. Equations: docs/pulses.md.
"""

from typing import Any

import numpy as np
from scipy.ndimage import median_filter

MOST_MARKS = 130
ANCHORS = 3000  # pulses whose gaps are looked for again
WIDE = 4  # gaps on each side of an anchor that may be asked for
LIKE = 0.1  # logarithm by which two gaps may differ and be the same one
LEAST_RETURN = 0.12  # share of anchors whose gaps must come again
NEARLY = 0.75  # share of the best return that a shorter lag needs
MOST_TURNS = 8  # that may have been taken for one
NEAR = 0.3  # share of the way to the next pulse by which a partner may be off


def turn_map(t_s: Any, *, told: float | None = None) -> Any:
    """The moment a turn after each of some moments.

    Parameters
    ----------
    t_s : ndarray, shape (n,)
        Rising moments of pulses. [s]
    told : float or None
        Marks a turn as stated; no more than about two and a half times as many are looked for. [1]

    Returns
    -------
    begin, end : ndarray, shape (m,)
        Rising moments and those a turn later; both None where no gaps come again. [s]
    """
    reach = MOST_MARKS if told is None else int(min(MOST_MARKS, max(10, 2.6 * told + 6)))
    found = _returns(t_s, reach, told)
    return (None, None) if found is None else _map(t_s, *found)


def _returns(t_s: Any, reach: Any, told: Any) -> Any:
    """Pulses whose gaps come again a turn later, and that turn's length: (moments, lengths)."""
    gap = np.diff(t_s)
    reach = min(reach, (len(gap) - 8) // 2)
    if reach < 1:
        return None
    last = len(gap) - reach - WIDE
    # even in time, so that a burst of noise has no more to say than it lasts
    at = np.linspace(t_s[WIDE], t_s[max(last, WIDE)], min(ANCHORS, max(last - WIDE, 1)))
    anchors = np.unique(np.clip(np.searchsorted(t_s, at, "right") - 1, WIDE, max(last, WIDE)))
    if len(anchors) < 8:
        return None
    logs = np.log(gap)
    lags = np.arange(1, reach + 1)
    differ = np.stack(
        [logs[anchors[:, None] + lags + a] - logs[anchors + a][:, None] for a in range(-WIDE, WIDE)]
    )
    level = np.median(differ[WIDE - 1 : WIDE + 1], axis=0)  # the speed may have changed between
    same = (np.abs(differ) < LIKE) & (np.abs(level) < 2 * LIKE)
    best = None
    for half in (1, 2, 4):
        match = same[WIDE - half : WIDE + half].all(axis=0)
        chosen = _shortest(match, lags, told)
        if chosen is not None and (best is None or chosen[0] > best[0]):
            best = (*chosen, match)
    if best is None:
        return None
    _, low, high, match = best
    inside = match[:, low - 1 : max(high, low)]
    row = np.flatnonzero(inside.any(axis=1))
    lag = low + inside[row].argmax(axis=1)
    moment, length = t_s[anchors[row]], t_s[anchors[row] + lag] - t_s[anchors[row]]
    return moment, length


def _shortest(match: Any, lags: Any, told: Any) -> Any:
    """Contrast and bounds of the shortest lag after which as many return as after any."""
    n, longest = match.shape
    ends = [(max(int(0.9 * k), 1), min(int(np.ceil(1.12 * k)), longest)) for k in lags]
    share = np.array([match[:, a - 1 : b].any(axis=1).mean() for a, b in ends])
    exact = match.mean(axis=0)
    chance = float(np.median(exact)) if longest > 4 else 0.0
    most = share.max()
    if most < LEAST_RETURN or n < 8:
        return None
    slack = 3 * np.sqrt(most * (1 - most) * 3 / n) + 0.03
    k = int(lags[share >= most - slack][0])
    if told is None:  # several turns return as well as one
        shorter = [max(round(k / q), 1) for q in range(MOST_TURNS, 1, -1)]
    else:  # what was stated needs no more than to return nearly as well
        shorter = [round(told)] if 1 < told < k / 1.15 else []
    k = next((each for each in shorter if share[each - 1] >= NEARLY * most), k)
    centre = _centre(exact, k)
    low, high = max(int(0.9 * centre), 1), min(int(np.ceil(1.1 * centre)), longest)
    return share[k - 1] - min(1.0, chance * (high - low + 1)), low, high


def _centre(exact: Any, k: Any) -> Any:
    """Middle of the lags about one that return, for pulses that are lost or come twice make it vary."""
    longest = len(exact)
    share = [exact[max(int(0.9 * m), 1) - 1 : int(np.ceil(1.12 * m))].sum() for m in range(1, longest + 1)]
    while k < longest and share[k] > share[k - 1]:
        k += 1
    low, high = max(int(0.9 * k), 1), min(int(np.ceil(1.12 * k)), longest)
    weight = exact[low - 1 : high]
    return float((np.arange(low, high + 1) * weight).sum() / max(weight.sum(), 1e-9))


def _map(t_s: Any, moment: Any, length: Any) -> Any:
    """The moment a turn after each moment, through links of pulses with their partners: (from, to)."""
    if len(moment) < 6:
        return None, None
    for size in (31, 15):
        smooth = median_filter(length, size=min(size, len(length)), mode="reflect")
        good = np.abs(length / smooth - 1) < 0.12
        if good.sum() < 6:
            return None, None
        moment, length = moment[good], length[good]
    length = median_filter(length, size=min(5, len(length)), mode="reflect")
    for tight in (NEAR, NEAR * 0.7):
        turn = np.interp(t_s, moment, length)
        ahead = t_s + turn
        right = np.clip(np.searchsorted(t_s, ahead), 1, len(t_s) - 1)
        j = np.where(np.abs(t_s[right] - ahead) < np.abs(t_s[right - 1] - ahead), right, right - 1)
        room = np.minimum(np.append(np.inf, np.diff(t_s))[j], np.append(np.diff(t_s), np.inf)[j])
        room = np.minimum(room, 0.2 * turn)
        ok = (
            (np.abs(t_s[j] - ahead) < tight * room)
            & (j > np.arange(len(t_s)))
            & (ahead < t_s[-1] + 0.02 * turn)
        )
        if ok.sum() < 6:
            return None, None
        moment, length = t_s[ok], (t_s[j] - t_s)[ok]
        smooth = median_filter(length, size=9, mode="reflect")
        keep = np.abs(length / smooth - 1) < 0.06
        moment, length = moment[keep], length[keep]
    reached = moment + length
    rising = np.concatenate([[True], np.diff(np.maximum.accumulate(reached)) > 0])
    return moment[rising], reached[rising]
