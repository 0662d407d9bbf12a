"""Split a speed track at its marks into steady stretches under one load and the changes between."""

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from snath.decisions.behaviour.asked import Load
from snath.formulas.signals.candidates import Track
from snath.quantities.errors import InputError
from snath.quantities.measured import Line, Measured
from snath.quantities.message import Message, term

CHANGES: dict[str, Load] = {"load on": "loaded", "load off": "no load"}
SETTLING = 3.0  # s after a change of load that count for the response only
MEAN_OVER = 2.0  # s that a mean needs at least
BLOCK = 1.0  # s; neighbouring points are not independent, seconds nearly are


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of the track under one load.

    Attributes
    ----------
    load : str
        "no load" or "loaded".
    start, end : float
        From the change before (or the track's start) to the change after (or its end). [s]
    settled : float
        From when speed counts as steady. [s]
    """

    load: Load
    start: float
    end: float
    settled: float

    @property
    def length(self) -> float:
        """Of the settled part. [s]"""
        return self.end - self.settled


def stretches(track: Track, *, otherwise: Load) -> tuple[Stretch, ...]:
    """The track cut at its marked changes of load, in order of time.

    `otherwise` says under which load a track without a mark was taken.
    """
    begin, finish = track.t_s[0], track.t_s[-1]
    changes = sorted((e for e in track.events if e.kind in CHANGES), key=lambda event: event.t_s)
    for event in changes:
        if not begin < event.t_s < finish:
            raise InputError(event.kind, f"{event.t_s:g} s", Message("track.on-it", begin=begin, end=finish))
    for one, other in pairwise(changes):
        if one.kind == other.kind:
            raise InputError(other.kind, f"{other.t_s:g} s", Message("track.twice", first=one.t_s))
    if not changes:
        return (Stretch(otherwise, begin, finish, begin),)
    before: Load = "loaded" if changes[0].kind == "load off" else "no load"
    found = [Stretch(before, begin, changes[0].t_s, begin)]
    ends = [event.t_s for event in changes[1:]] + [finish]
    for event, end in zip(changes, ends, strict=True):
        settled = min(event.t_s + SETTLING, end)
        found.append(Stretch(CHANGES[event.kind], event.t_s, end, settled))
    return tuple(found)


def part(track: Track, start: float, end: float) -> Track:
    """The points from one moment to another, the second left out."""
    kept = [place for place, t in enumerate(track.t_s) if start <= t < end or t == end == track.t_s[-1]]
    return replace(
        track,
        t_s=tuple(track.t_s[p] for p in kept),
        rev_s=tuple(track.rev_s[p] for p in kept),
        u=tuple(track.u[p] for p in kept),
        events=tuple(event for event in track.events if start <= event.t_s <= end),
    )


def mean_speed(track: Track, stretch: Stretch) -> Measured | None:
    """Mean of the settled part; None where it is too short to be one. [rev/s]"""
    settled = part(track, stretch.settled, stretch.end)
    if len(settled.t_s) < 4 or settled.t_s[-1] - settled.t_s[0] < MEAN_OVER:
        return None
    times, speeds = np.array(settled.t_s), np.array(settled.rev_s)
    blocks = ((times - times[0]) // BLOCK).astype(int)
    means = np.array([speeds[blocks == block].mean() for block in np.unique(blocks)])
    spread = float(means.std(ddof=1)) / np.sqrt(means.size) if means.size > 1 else 0.0
    u = float(np.hypot(spread, np.mean(settled.u) / np.sqrt(times.size)))
    source = Message("budget.track-scatter", load=term("load", stretch.load))
    return Measured(float(speeds.mean()), (Line(source, u, float(max(1, means.size - 1))),))
