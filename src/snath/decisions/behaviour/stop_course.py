"""Read a run-down track as what its instrument showed: its marks, when it certainly turned, and where it ends."""

import math
from dataclasses import replace

import numpy as np

from snath.formulas.signals.candidates import Track
from snath.quantities.errors import InputError
from snath.quantities.message import Message

MOVING = 3.0  # standard uncertainties that a speed must have to count as turning
BEGUN = 0.97  # share of the speed before, under which the blade is falling
RISEN = 0.05  # share of the speed before by which nothing that coasts gets faster again
LAST, AT_REST = 6, 3  # moving points the end begins with at least, and points at rest that it needs
LEAST = 1e-6  # rev/s: points without any doubt still divide
CLEARLY = 3.0  # standard uncertainties by which a point lies under the fall before it
ALIVE = 0.25  # share of the points at rest that are not 0: noise about nothing is over it half the time
HELD = 3  # points of exactly one figure, at the end of a fall, that are a display's last and not the blade's speed
DROPS_OUT, SHOWS_NOTHING = Message("stop.drops-out"), Message("stop.shows-nothing")
STAYS = Message("stop.stays")


def marked_at(track: Track, kind: str) -> float | None:
    """The marked moment, the last of its kind; None unmarked."""
    moments = [event.t_s for event in track.events if event.kind == kind]
    if not moments:
        return None
    first, last = track.t_s[0], track.t_s[-1]
    if kind == "release" and not first <= moments[-1] <= last:
        raise InputError(kind, f"{moments[-1]:g} s", Message("track.on-it", begin=first, end=last))
    return moments[-1]


def turning_at(track: Track) -> list[float]:
    """Moments at which it certainly turned: two neighbours over their noise, so that one wild point is none."""
    over = [n > max(0.0, MOVING * u) for n, u in zip(track.rev_s, track.u, strict=True)]
    beside = [first or second for first, second in zip([False, *over[:-1]], [*over[1:], False], strict=True)]
    return [t for t, n, m in zip(track.t_s, over, beside, strict=True) if n and m]


def coasting_part(track: Track, start: float) -> Track:
    """The track down to where its speed rises again: two neighbours over the lowest and its noise."""
    first, top = sum(t <= start for t in track.t_s), speed_before(track, start)
    lowest, rising = first, 0
    for i in range(first, len(track.t_s)):
        if track.rev_s[i] <= track.rev_s[lowest]:
            lowest = i
        noise = MOVING * math.hypot(track.u[i], track.u[lowest])
        rising = rising + 1 if track.rev_s[i] - track.rev_s[lowest] > max(noise, RISEN * top) else 0
        if rising == 2:
            return _cut(track, lowest + 1)
    return track


def shown_part(track: Track, start: float) -> tuple[Track, Message | None]:
    """The track down to where its instrument shows nothing more, and how that is known; all of it where it shows on.

    A display that sees nothing writes 0, or its last figure again, whether the blade stands or turns more slowly than
    it can show. What sees it stand shows its noise.
    """
    turns = turning_at(track)
    if not turns:
        return track, None
    after = track.t_s.index(turns[-1]) + 1
    first = _first_of_the_same(track, after - 1)
    if after - first >= HELD and track.rev_s[first] < BEGUN * speed_before(track, start):
        return _cut(track, first + 1), STAYS
    if after == len(track.t_s):
        return track, None
    if sum(n > 0 for n in track.rev_s[after:]) < ALIVE * (len(track.rev_s) - after):
        return _cut(track, after), SHOWS_NOTHING
    falling = sum(start < t <= turns[-1] for t in track.t_s)
    used = slice(max(0, after - min(max(falling, AT_REST), LAST)), after)
    t, n, u = (np.array(column[used]) for column in (track.t_s, track.rev_s, track.u))
    line, spread = np.polyfit(t - track.t_s[after], n, 1, w=1 / np.maximum(u, LEAST), cov="unscaled")
    under = line[1] - track.rev_s[after]
    if under <= CLEARLY * math.hypot(track.u[after], math.sqrt(spread[1, 1])):
        return track, None
    return _cut(track, after), DROPS_OUT


def _first_of_the_same(track: Track, last: int) -> int:
    """Where the figure that stands at a point was first shown, without another between."""
    first = last
    while first > 0 and track.rev_s[first - 1] == track.rev_s[last]:
        first -= 1
    return first


def _cut(track: Track, end: int) -> Track:
    return replace(track, t_s=track.t_s[:end], rev_s=track.rev_s[:end], u=track.u[:end])


def speed_before(track: Track, start: float) -> float:
    """Mean of the last few points before a moment; the highest where there are none. [rev/s]"""
    before = [n for t, n in zip(track.t_s, track.rev_s, strict=True) if t <= start][-5:]
    return sum(before) / len(before) if before else max(track.rev_s)


def first_fall(track: Track) -> float:
    """When speed first falls for good, where nobody marked the release."""
    top = max(track.rev_s[: max(3, len(track.rev_s) // 10)])
    above = [t for t, n in zip(track.t_s, track.rev_s, strict=True) if n >= BEGUN * top]
    return above[-1] if above else track.t_s[0]
