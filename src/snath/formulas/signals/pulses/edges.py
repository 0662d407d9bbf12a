"""Leave out pulses that are none, and count the places of an even wheel between the others.

A wheel with evenly placed marks gives intervals that are whole multiples of one slowly changing base
interval. A missed pulse makes two or three of them; a doubled one splits one in two odd parts.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.ndimage import median_filter

BASE_SPAN = 9  # intervals over which the base is taken as steady
SHORT = 0.45  # share of the base below which two pulses are suspected to be one
ODD = 0.12  # distance from a whole multiple from which an interval explains nothing


@dataclass(frozen=True, slots=True)
class Edges:
    """Pulses that were kept and where each stands.

    Attributes
    ----------
    t_s : ndarray, shape (n,)
        Moments of the kept pulses. [s]
    slot : ndarray of int, shape (n,)
        Places of the wheel passed since the first. [1]
    doubled : int
        Pulses left out because they were the same mark again.
    odd : float
        Share of the intervals that no whole multiple explains; high where marks are uneven.
    firm : ndarray of bool, shape (n,)
        Pulses that stand alone and whose neighbours confirm them: fit to count from and to.
    scatter : float or None
        Standard deviation of one edge's moment where that is known; None where even pulses are to tell it. [s]
    """

    t_s: np.ndarray
    slot: np.ndarray
    doubled: int
    odd: float
    firm: np.ndarray
    scatter: float | None = None

    @property
    def empty(self) -> int:
        """Places passed without a pulse: missing teeth and missed pulses together."""
        return int(self.slot[-1]) + 1 - len(self.slot)


def kept_edges(t_s: Any) -> Edges:
    """Leave out doubled pulses and count the places between the rest.

    Parameters
    ----------
    t_s : ndarray, shape (n,)
        Rising moments, at least three. [s]

    Returns
    -------
    Edges
        The pulses kept, each with its place.
    """
    kept = np.asarray(t_s, dtype=float)
    for _ in range(4):  # a mark may answer three or four times
        fewer = _without_doubles(kept)
        if len(fewer) == len(kept):
            break
        kept = fewer
    multiple = np.diff(kept) / base_interval(kept)
    whole = np.maximum(np.rint(multiple), 1)
    slot = np.concatenate([[0], np.cumsum(whole)]).astype(int)
    misfit = np.abs(multiple - whole)
    worst = np.fmax(np.append(misfit, 0), np.append(0, misfit))
    near = SHORT * float(np.median(np.diff(kept)))
    firm = (worst <= max(4 * float(np.median(misfit)), 0.01)) & alone(t_s, near)[np.searchsorted(t_s, kept)]
    odd = float(np.mean(misfit > ODD))
    return Edges(kept, slot, len(t_s) - len(kept), odd, firm)


def alone(t_s: Any, near: float) -> Any:
    """Which pulses have no other close by: of two, one is the other's bounce, and which is not always told.

    In a list that holds such pairs the first does not count either: it may be the bounce of one before the list.

    Parameters
    ----------
    t_s : ndarray, shape (n,)
        Rising moments. [s]
    near : float
        How close. [s]

    Returns
    -------
    ndarray of bool, shape (n,)
        True where it stands alone.
    """
    between = np.diff(t_s)
    gap = np.concatenate([[0.0 if (between <= near).any() else np.inf], between, [np.inf]])
    return np.minimum(gap[:-1], gap[1:]) > near


def base_interval(t_s: Any) -> Any:
    """Running median of the intervals, then of those near it divided by their whole multiple.

    Parameters
    ----------
    t_s : ndarray, shape (n,)
        Rising moments. [s]

    Returns
    -------
    ndarray, shape (n - 1,)
        The base about each interval. [s]
    """
    interval = np.diff(t_s)
    span = min(BASE_SPAN, len(interval))
    rough = median_filter(interval, size=max(2 * span + 1, 3), mode="reflect")
    single = interval / np.maximum(np.rint(interval / rough), 1)
    return median_filter(single, size=max(span, 3), mode="reflect")


def _without_doubles(t_s: Any) -> Any:
    """One pass over neighbouring pulses that are too close; of two, the one that fits worse goes."""
    if len(t_s) < 4:
        return t_s
    base = base_interval(t_s)
    keep = np.ones(len(t_s), dtype=bool)
    for i in np.flatnonzero(np.diff(t_s) < SHORT * base):
        if not keep[i]:
            continue
        early = _misfit(t_s, i, i - 1, i + 2, base[i])
        late = _misfit(t_s, i + 1, i - 1, i + 2, base[i])
        # A bounce comes after its pulse; only a clear difference says otherwise.
        keep[i if late < early - 0.1 else i + 1] = False
    return t_s[keep]


def _misfit(t_s: Any, which: Any, before: Any, after: Any, base: Any) -> Any:
    """How far a pulse lies from whole multiples of the base, seen from its neighbours."""
    total, count = 0.0, 0
    for other in (before, after):
        if 0 <= other < len(t_s):
            multiple = abs(t_s[which] - t_s[other]) / base
            total += abs(multiple - max(round(multiple), 1))
            count += 1
    return total / max(count, 1)
