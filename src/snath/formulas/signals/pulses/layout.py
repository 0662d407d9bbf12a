"""Give every pulse its mark, whatever the layout of the marks.

Going through the map from a moment to that a turn later, time after time, gives every pulse its place on the turn.
The places at which pulses crowd are the marks; each is followed from turn to turn, for at a fault it jumps a little.
Equations: docs/pulses.md.
"""

from bisect import bisect_right
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.ndimage import median_filter

from snath.formulas.signals.pulses.returns import turn_map

PARTS = 12  # of a turn that are followed on their own
TEMPLATE = 12  # turns from which the first layout is made
SLIDE, TRIED = 0.15, 200  # how far all places may have slid together [turn], and slides tried
ADD_UP = 0.25  # turns by which what was counted may differ from what there is time for
ALIKE, ALIKE_TURN = (
    0.1,
    0.005,
)  # by which places may be off [usual distance, turn] and be the same a part of a turn on
ALIKE_SHARE, MOST_TIMES = 0.75, 4  # share of the places that must be, and parts tried
OTHERS, CLEARLY = 40, 0.1  # other shifts tried, and how much worse each must fit
ENOUGH = 6  # marks of a part that tell it from chance when it may stand off
SURE, POSSIBLE = 0.6, 0.25  # shares of turns in which a mark is there, and may be one


@dataclass(frozen=True, slots=True)
class Layout:
    """Marks of a turn and the pulses they made.

    Attributes
    ----------
    places : ndarray, shape (m,)
        Where the marks stand, rising. [turn]
    fewest, most : int
        How many marks there are for certain, and how many there may be. [1]
    t_s, slot : ndarray, shape (n,)
        Moments of the pulses that are a mark's, and marks passed at each. [s], [1]
    off : ndarray, shape (n,)
        How far each stands from its mark's place. [turn]
    """

    places: np.ndarray
    fewest: int
    most: int
    t_s: np.ndarray
    slot: np.ndarray
    off: np.ndarray

    @property
    def sooner(self) -> int:
        """How many times it comes round in itself: 1 for a layout that does so only as a whole."""
        return next((n for n in range(min(len(self.places), MOST_TIMES), 1, -1) if self._repeats(n)), 1)

    def _repeats(self, times: int) -> bool:
        """Whether every part of the turn, a whole one over `times`, holds the marks of the first."""
        count = len(self.places)
        many = count >= ENOUGH * times
        # the turns of a cycle differ in length, so that marks enough may stand off together
        slides = np.linspace(-0.02, 0.02, 17) if many else np.zeros(1)
        part = self.places[self.places < 1 / times] if many else self.places
        near = max(ALIKE / count, ALIKE_TURN)

        def alike(shift: float) -> float:
            off = _off((part + shift)[:, None] + slides, self.places)
            return float((np.abs(off) < near).mean(axis=0).max())

        if not len(part):
            return False
        least = min(alike(later / times) for later in range(1, times))
        other = np.linspace(0.06, 1 / times - 0.06, OTHERS) if times < 8 else np.empty(0)
        return least >= ALIKE_SHARE and (not many or least > max(alike(shift) for shift in other) + CLEARLY)

    @property
    def rate(self) -> float:
        """Turns over time from the first pulse to the last. [1/s]"""
        return float(self.slot[-1] / len(self.places) / (self.t_s[-1] - self.t_s[0]))


def layout_of(t_s: Any, *, told: float | None = None) -> Layout | None:
    """The layout that comes round, with the pulses its marks made.

    Parameters
    ----------
    t_s : ndarray, shape (n,)
        Rising moments of pulses. [s]
    told : float or None
        Marks a turn as stated; no more than about two and a half times as many are looked for. [1]

    Returns
    -------
    Layout or None
        None where no pattern comes round, or its turns do not add up.
    """
    begin, end = turn_map(t_s, told=told)
    return None if begin is None else _placed(t_s, begin, end)


def _placed(t_s: Any, moment: Any, reached: Any) -> Any:
    """Every pulse's place on the turn, by going through the map time after time."""
    at, to = moment.tolist(), reached.tolist()
    starts = max(at[0], float(t_s[0]))
    first = _after(at, to, starts)
    refs = []
    for begin in starts + (first - starts) * np.arange(PARTS) / PARTS:
        tau = [float(begin)]
        while tau[-1] <= t_s[-1]:
            following = _after(at, to, tau[-1])
            if following <= tau[-1] or len(tau) > 2 * len(t_s) + 10:
                return None
            tau.append(following)
        refs.append(tau)
    moments = np.concatenate(refs)
    angle = np.concatenate([np.arange(len(tau)) + k / PARTS for k, tau in enumerate(refs)])
    order = np.argsort(angle)
    moments, angle = np.maximum.accumulate(moments[order]), angle[order]
    if len(refs[0]) < 5:
        return None
    turns = np.interp(t_s, moments, angle)
    before = t_s < starts
    turns[before] = (t_s[before] - starts) / (first - starts)
    found = _clustered(t_s, turns)
    if found is None:
        return None
    # as many turns as there is time for, or a link was wrong
    last = np.flatnonzero(found.slot % len(found.places) == 0)[-1]
    clock = np.linspace(found.t_s[0], found.t_s[last], 4 * len(refs[0]))
    lengths = median_filter(reached - moment, size=9, mode="reflect")
    expected = float(np.trapezoid(1 / np.interp(clock, moment, lengths), clock))
    return found if abs(found.slot[last] / len(found.places) - expected) < ADD_UP else None


def _after(at: Any, to: Any, moment: Any) -> Any:
    """The moment a turn later."""
    if moment > at[-1]:  # past the last link a turn is as long as the last few were
        lengths = sorted(to[i] - at[i] for i in range(max(len(at) - 9, 0), len(at)))
        return moment + lengths[len(lengths) // 2]
    i = min(max(bisect_right(at, moment), 1), len(at) - 1)
    slope = (to[i] - to[i - 1]) / (at[i] - at[i - 1])
    if not 0.3 < slope < 3:
        near = i if at[i] - moment < moment - at[i - 1] else i - 1
        return moment + to[near] - at[near]
    return to[i - 1] + slope * (moment - at[i - 1])


def _clustered(t_s: Any, turns: Any) -> Any:
    """Every pulse by its mark: each mark's place is followed from turn to turn, for at a fault it jumps a little."""
    begin, end = int(np.floor(turns[0])), int(np.floor(turns[-1])) + 1
    places, start = _template(turns, begin, end)
    if not len(places):
        return None
    # a turn is cut in its widest gap, so that no mark is now in one and now in the next
    ring = np.diff(np.append(places, places[0] + 1))
    widest = int(ring.argmax())
    marks = np.concatenate([places[widest + 1 :], places[: widest + 1] + 1])
    cut = float(marks[0] - ring[widest] / 2)
    slot, off = np.full(len(turns), -1), np.full(len(turns), np.inf)
    seen, twice = np.zeros(len(marks)), np.zeros(len(marks))
    for order in (range(start, end), range(start - 1, begin - 2, -1)):
        now, at_cut = marks - cut, cut
        for k in order:
            low, high = np.searchsorted(turns, [k + at_cut, k + 1 + at_cut])
            if low == high:
                continue
            room = _room(now)
            if _fitting(turns[low:high] - k - at_cut, now, room) < 0.5 * len(now):
                near = slice(*np.searchsorted(turns, [k - 1 + at_cut, k + 2 + at_cut]))
                at_cut += _slid(turns[near] - k - at_cut, now, room)
                low, high = np.searchsorted(turns, [k + at_cut, k + 1 + at_cut])
            at = turns[low:high] - k - at_cut
            rank, away = _nearest(at, now)
            close = np.flatnonzero(np.abs(away) < room[rank])
            close = close[np.argsort(-np.abs(away[close]), kind="stable")]
            count = np.bincount(rank[close], minlength=len(now))
            seen += count > 0
            twice += count > 1
            best = np.full(len(now), -1)
            best[rank[close]] = close  # of several the nearest, which comes last
            there = best >= 0
            if not there.any():
                continue
            which = np.flatnonzero(there)
            off[low + best[there]] = away[best[there]]
            slot[low + best[there]] = (k - begin + 1) * len(now) + which
            step = 0.7 * away[best[there]]
            now = now + np.interp(
                np.arange(len(now)), which, step
            )  # a missing mark goes with those beside it
            slide = float(np.mean(now - (marks - cut)))
            at_cut, now = at_cut + slide, now - slide
    return _counted(t_s, slot, off, marks % 1, seen / (end - begin), twice / (end - begin))


def _template(turns: Any, begin: Any, end: Any) -> Any:
    """Places of the marks in the turns whose counts of pulses are most alike, and the first of these turns."""
    edge = np.searchsorted(turns, np.arange(begin, end + 1))
    spare = np.diff(edge)
    usual, run = max(float(np.median(spare)), 1.0), min(TEMPLATE, len(spare))
    first = int(np.argmin(np.convolve(np.abs(spare - usual), np.ones(run), "valid")))
    at = turns[edge[first] : edge[first + run]] % 1
    return _crowds(at, run, min(_repeat(turns), 0.1 / usual)), begin + first


def _room(places: Any) -> Any:
    """How far a pulse may be from its mark's place. [turn]"""
    apart = np.diff(np.concatenate([[places[-1] - 1], places, [places[0] + 1]]))
    return np.minimum(0.4 * np.minimum(apart[1:], apart[:-1]), 0.08)


def _fitting(at: Any, places: Any, room: Any) -> Any:
    """How many of the places have a pulse near."""
    rank, off = _nearest(at, places)
    return len(np.unique(rank[np.abs(off) < room[rank]]))


def _slid(at: Any, places: Any, room: Any) -> Any:
    """The common slide under which most pulses of a few turns are near a place; none where none is clearly better."""
    on_turn = at % 1
    tried = (on_turn[:, None] - places).ravel()
    tried = tried[np.abs(tried) < SLIDE]
    tried = np.concatenate([[0.0], tried[np.argsort(np.abs(tried))][:: max(1, len(tried) // TRIED)]])
    fits = []
    for slide in tried:
        rank, off = _nearest((on_turn - slide) % 1, places)
        fits.append(int((np.abs(off) < 0.5 * room[rank]).sum()))
    best = int(np.argmax(fits))
    return float(tried[best]) if fits[best] > 1.3 * fits[0] and fits[best] >= 2 else 0.0


def _counted(t_s: Any, slot: Any, off: Any, places: Any, seen: Any, twice: Any) -> Any:
    """The pulses of marks that are there in most turns, and how many marks that makes."""
    sure = seen >= SURE
    fewest = int(sure.sum() + (twice >= SURE).sum())
    most = int((seen >= POSSIBLE).sum() + (twice >= POSSIBLE).sum())
    if not fewest:
        return None
    rank = np.where(sure, np.cumsum(sure) - 1, -1)
    kept = np.flatnonzero((slot >= 0) & sure[slot % len(places)])
    slot = slot[kept] // len(places) * int(sure.sum()) + rank[slot[kept] % len(places)]
    by = np.argsort(slot, kind="stable")
    rising = np.concatenate([[True], (np.diff(slot[by]) > 0) & (np.diff(t_s[kept[by]]) > 0)])
    kept, slot = kept[by][rising], slot[by][rising]
    slot, t = slot - slot[0], t_s[kept]
    if len(kept) < 0.6 * slot[-1] or (np.diff(t) <= 0).any():
        return None
    by_place = np.argsort(places[sure])
    return Layout(places[sure][by_place], fewest, most, t, slot, off[kept])


def _repeat(turns: Any) -> Any:
    """How exactly places come round: ten times the spread of a pulse and its partner a turn on. [turn]"""
    ahead = turns + 1
    right = np.clip(np.searchsorted(turns, ahead), 1, len(turns) - 1)
    off = np.minimum(np.abs(turns[right] - ahead), np.abs(turns[right - 1] - ahead))[ahead < turns[-1]]
    return float(np.clip(10 * np.median(off), 0.004, 0.1)) if len(off) else 0.1


def _crowds(at: Any, turned: Any, width: Any) -> Any:
    """Places at which pulses crowd in a few turns."""
    at = np.sort(at)
    cuts = np.flatnonzero(np.diff(np.append(at, at[0] + 1)) > width)
    if not len(cuts):
        return np.empty(0)
    rolled = np.concatenate([at[cuts[-1] + 1 :] - 1, at[: cuts[-1] + 1]])
    groups = np.split(rolled, np.flatnonzero(np.diff(rolled) > width) + 1)
    return np.sort([np.median(g) % 1 for g in groups if len(g) >= POSSIBLE * turned])


def _nearest(at: Any, places: Any) -> Any:
    """Which of rising places each is nearest to, and how far it lies from it. [1], [turn]"""
    right = (
        np.clip(np.searchsorted(places, at), 1, len(places) - 1)
        if len(places) > 1
        else np.zeros(len(at), int)
    )
    left = np.maximum(right - 1, 0)
    rank = np.where(np.abs(at - places[left]) <= np.abs(at - places[right]), left, right)
    return rank, at - places[rank]


def _off(at: Any, places: Any) -> Any:
    """How far each place on the circle lies from its nearest mark, -1/2 to 1/2. [turn]"""
    ring = np.concatenate([[places[-1] - 1], places, [places[0] + 1]])
    return _nearest(at % 1, ring)[1]
