"""What a run-down track shows: when the blade stood still, or how long it was still turning."""

import math
from dataclasses import dataclass, replace
from typing import Any, Literal

import numpy as np

from snath.decisions.behaviour.ranges import checked_track
from snath.formulas.signals.candidates import Track
from snath.formulas.stopping.fit import RunDown, fit_run_down
from snath.formulas.stopping.rest import FEWEST, rest_moment
from snath.quantities.errors import InputError, within
from snath.quantities.message import Message

COVERAGE = 1.96
MOVING = 3.0  # standard uncertainties that a speed must have to count as turning
BEGUN = 0.97  # share of the speed before, under which the blade is falling
ENOUGH = 8  # points a fit needs
VISIBLE = 0.1  # share of the start speed down to which a curve must be seen to show the stop by itself
DRAWN = 0.05  # of the stopping time; standard error of 30 simulated stops heard as one smooth curve
SLOW = 8.0  # standard uncertainties; what is slower belongs to the end of the course
LAST, AT_REST = 6, 3  # moving points the end begins with at least, and points at rest that it needs
RISEN = 0.05  # share of the speed before by which nothing that coasts gets faster again
LEAST = 1e-6  # rev/s: points without any doubt still divide
CLEARLY = 4.0  # standard uncertainties by which a point lies under the fall before it
AT_ONCE = 0.5  # of a step that a fall may be steeper at its last than it was
DROPS_OUT = Message("stop.drops-out")
STILL_TURNS = Message("stop.still-turns")
SPEEDS_UP = Message("stop.speeds-up")
STILL_FIRES = Message("stop.still-fires")

How = Literal["seen", "from the curve", "not reached"]


@dataclass(frozen=True, slots=True)
class StopEvidence:
    """Stopping time as far as the track goes, counted from the release of the control.

    Attributes
    ----------
    how : str
        "seen" (standstill marked or shown), "from the curve" (fitted), "not reached" (nothing but turning).
    value : float or None
        Most likely stopping time. [s]
    earliest, latest : float
        95 % interval; `latest` infinite where nothing bounds it. Of a brake that was not seen down to rest nothing is
        assumed: it may let go or bite harder below what was seen. [s]
    as_seen : (float, float) or None
        95 % interval were it to go on as it was seen; None where no friction describes it. [s]
    still_turning : float
        Last moment at which it certainly turned, the doubt of the release taken off. [s]
    released : bool
        Whether the release is known; without it the time is counted from the first fall and can only be
        too short.
    visible : bool
        Whether the stop, or the curve nearly down to it, is on the track.
    run_down : RunDown or None
        The fitted friction.
    mistaken : Message or None
        What is wrong with a mark or the track, where one or the end of the other was left out for it.
    heard_alone : bool
        Whether nothing but sound says when it stood still: nobody marked that it was seen to.
    """

    how: How
    value: float | None
    earliest: float
    latest: float
    still_turning: float
    released: bool
    visible: bool
    run_down: RunDown | None
    mistaken: Message | None = None
    heard_alone: bool = False
    as_seen: tuple[float, float] | None = None


def stop_evidence(
    track: Track, *, u_release: float, u_standstill: float, braked: bool = True
) -> StopEvidence:
    """Read the track; times are counted from its "release", to its "standstill" where it has one to be believed.

    Parameters
    ----------
    track : Track
        Of the blade, or of a shaft that can only stop with it.
    u_release, u_standstill : float
        Standard uncertainty of the two marks. [s]
    braked : bool
        False where only friction slows it, which cannot let go.

    Raises
    ------
    InputError
        If the release comes after the standstill, a mark is off the track, or the track is too short.
    """
    within("u_release", u_release, 0, 5, "s")
    within("u_standstill", u_standstill, 0, 5, "s")
    checked_track(track, fewest=ENOUGH)
    release, standstill = _moment(track, "release"), _moment(track, "standstill")
    if release is not None and standstill is not None and release >= standstill:
        raise InputError("release", f"{release:g} s", Message("stop.before-standstill", t=standstill))
    start = release if release is not None else _first_fall(track)
    if any(event.kind == "firing" and event.t_s > start for event in track.events):
        return _no_stop(released=release is not None, heard_alone=track.heard)
    last = max(_turning(track), default=-math.inf)
    coasting = _coasting(track, start)
    mistaken: Message | None = None
    if len(coasting.t_s) < len(track.t_s):
        mistaken = SPEEDS_UP
    elif standstill is None and (shown := _shown(track, start)) is not track:
        mistaken, coasting = DROPS_OUT, shown
    elif standstill is not None and last > standstill + COVERAGE * u_standstill:
        mistaken = STILL_TURNS
    believed = None if mistaken else standstill
    found = _evidence(coasting, release, believed, u_release, u_standstill, braked)
    return replace(found, mistaken=mistaken, heard_alone=track.heard and believed is None)


def _no_stop(*, released: bool, heard_alone: bool) -> StopEvidence:
    """What an engine that runs on says of a stop: nothing."""
    return StopEvidence(
        how="not reached",
        value=None,
        earliest=0.0,
        latest=math.inf,
        still_turning=0.0,
        released=released,
        visible=False,
        run_down=None,
        mistaken=STILL_FIRES,
        heard_alone=heard_alone,
    )


def _evidence(
    track: Track,
    release: float | None,
    standstill: float | None,
    u_release: float,
    u_standstill: float,
    braked: bool,
) -> StopEvidence:
    start = release if release is not None else _first_fall(track)
    doubt = u_release if release is not None else 0.0
    turning = max((t for t in _turning(track) if t >= start), default=start)
    still_turning = max(0.0, turning - start - COVERAGE * doubt)
    fitted, lowest = _fitted(track, start, standstill)
    known: dict[str, Any] = {
        "still_turning": still_turning,
        "released": release is not None,
        "run_down": fitted,
    }
    known["as_seen"] = _as_seen(fitted, start, doubt)
    seen = _seen(track, standstill, turning, u_standstill, fitted)
    if seen is not None:
        span = _counted(seen, start, COVERAGE * doubt, still_turning)
        return StopEvidence(how="seen", visible=True, **span, **known)
    span = {"value": None, "earliest": still_turning, "latest": math.inf}
    if fitted is None or known["as_seen"] is None:
        return StopEvidence(how="not reached", visible=False, **span, **known)
    span["value"] = fitted.standstill - start
    if not braked:
        earliest, span["latest"] = known["as_seen"]
        span["earliest"] = max(still_turning, earliest)
    return StopEvidence(how="from the curve", visible=bool(lowest <= VISIBLE), **span, **known)


def _as_seen(fitted: RunDown | None, start: float, doubt: float) -> tuple[float, float] | None:
    """The friction's own interval counted from the release; what was drawn as one curve has a common doubt more."""
    if fitted is None or not fitted.understood:
        return None
    drawn = DRAWN * (fitted.standstill - start) if fitted.smoothed else 0.0
    moment = (fitted.standstill, fitted.earliest, fitted.latest)
    span = _counted(moment, start, COVERAGE * math.hypot(doubt, drawn), 0.0)
    return span["earliest"], span["latest"]


def _counted(
    moment: tuple[float, float, float], start: float, doubt: float, still_turning: float
) -> dict[str, Any]:
    """A moment and its interval counted from the release, whose doubt (95 %) is added in squares."""
    most_likely, low, high = moment
    value = most_likely - start
    return {
        "value": value,
        "earliest": max(still_turning, value - math.hypot(most_likely - low, doubt)),
        "latest": value + math.hypot(high - most_likely, doubt),
    }


def _moment(track: Track, kind: str) -> float | None:
    """The marked moment, the last of its kind; None unmarked."""
    moments = [event.t_s for event in track.events if event.kind == kind]
    if not moments:
        return None
    first, last = track.t_s[0], track.t_s[-1]
    if kind == "release" and not first <= moments[-1] <= last:
        raise InputError(kind, f"{moments[-1]:g} s", Message("track.on-it", begin=first, end=last))
    return moments[-1]


def _turning(track: Track) -> list[float]:
    """Moments at which it certainly turned: two neighbours over their noise, so that one wild point is none."""
    over = [n > max(0.0, MOVING * u) for n, u in zip(track.rev_s, track.u, strict=True)]
    beside = [first or second for first, second in zip([False, *over[:-1]], [*over[1:], False], strict=True)]
    return [t for t, n, m in zip(track.t_s, over, beside, strict=True) if n and m]


def _coasting(track: Track, start: float) -> Track:
    """The track down to where its speed rises again: two neighbours over the lowest and its noise."""
    first, top = sum(t <= start for t in track.t_s), _speed_before(track, start)
    lowest, rising = first, 0
    for i in range(first, len(track.t_s)):
        if track.rev_s[i] <= track.rev_s[lowest]:
            lowest = i
        noise = MOVING * math.hypot(track.u[i], track.u[lowest])
        rising = rising + 1 if track.rev_s[i] - track.rev_s[lowest] > max(noise, RISEN * top) else 0
        if rising == 2:
            kept = slice(lowest + 1)
            return replace(track, t_s=track.t_s[kept], rev_s=track.rev_s[kept], u=track.u[kept])
    return track


def _shown(track: Track, start: float) -> Track:
    """The track down to where it shows nothing at once, faster than it fell: an instrument that lost it writes such."""
    turning = _turning(track)
    if not turning or turning[-1] >= track.t_s[-1]:
        return track
    after = track.t_s.index(turning[-1]) + 1
    falling = sum(start < t <= turning[-1] for t in track.t_s)
    used = slice(max(0, after - min(max(falling, AT_REST), LAST)), after)
    t, n, u = (np.array(column[used]) for column in (track.t_s, track.rev_s, track.u))
    line, spread = np.polyfit(t - track.t_s[after], n, 1, w=1 / np.maximum(u, LEAST), cov="unscaled")
    step = max(-line[0], 0.0) * (track.t_s[after] - turning[-1])
    if line[1] - AT_ONCE * step - track.rev_s[after] <= CLEARLY * math.hypot(
        track.u[after], math.sqrt(spread[1, 1])
    ):
        return track
    return replace(track, t_s=track.t_s[:after], rev_s=track.rev_s[:after], u=track.u[:after])


def _speed_before(track: Track, start: float) -> float:
    """Mean of the last few points before a moment; the highest where there are none. [rev/s]"""
    before = [n for t, n in zip(track.t_s, track.rev_s, strict=True) if t <= start][-5:]
    return sum(before) / len(before) if before else max(track.rev_s)


def _first_fall(track: Track) -> float:
    """When speed first falls for good, where nobody marked the release."""
    top = max(track.rev_s[: max(3, len(track.rev_s) // 10)])
    above = [t for t, n in zip(track.t_s, track.rev_s, strict=True) if n >= BEGUN * top]
    return above[-1] if above else track.t_s[0]


def _fitted(track: Track, start: float, standstill: float | None) -> tuple[RunDown | None, float]:
    """Friction through the falling part, and how far down it is seen; None where too little of it is there."""
    points = list(zip(track.t_s, track.rev_s, track.u, strict=True))
    top = _speed_before(track, start)
    end = math.inf if standstill is None else standstill
    falling = [p for p in points if start < p[0] < end and p[1] > MOVING * p[2] and p[1] > 0]
    while falling and falling[0][1] > BEGUN * top:
        falling.pop(0)
    if len(falling) < ENOUGH:
        return None, 1.0
    t, n, u = zip(*falling, strict=True)
    return fit_run_down(t=t, rotation=n, u=[max(x, LEAST) for x in u]), min(n) / top


def _seen(
    track: Track, standstill: float | None, turning: float, u_standstill: float, fitted: RunDown | None
) -> tuple[float, float, float] | None:
    """Moment of standstill with its 95 % interval: as marked, or as the end of the track shows it."""
    if standstill is not None:
        half = COVERAGE * u_standstill
        return standstill, standstill - half, standstill + half
    points = list(zip(track.t_s, track.rev_s, track.u, strict=True))
    moving = [p for p in points if p[0] <= turning]
    slow = [p for p in moving if p[1] < SLOW * p[2]]
    begin = min([p[0] for p in slow] + [p[0] for p in moving[-LAST:]], default=turning)
    end = [p for p in points if p[0] >= begin]
    if len(end) - len(moving[-LAST:]) < AT_REST or len(end) < FEWEST:
        return None
    t, n, u = zip(*end, strict=True)
    rest = rest_moment(t=t, rotation=n, u=[max(x, LEAST) for x in u])
    if math.isinf(rest.latest) or rest.latest < turning:  # it turned on after it: no fall that ends there
        return None
    if fitted is not None and fitted.understood and rest.earliest <= fitted.standstill <= rest.latest:
        return fitted.standstill, fitted.earliest, fitted.latest
    return rest.standstill, rest.earliest, rest.latest
