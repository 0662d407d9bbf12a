"""Tell from a run-down track when the blade stood still, or how long it was still turning."""

import math
from dataclasses import dataclass, replace
from typing import Any, Literal

from snath.decisions.behaviour.ranges import checked_track
from snath.decisions.behaviour.stop_course import (
    AT_REST,
    BEGUN,
    LAST,
    LEAST,
    MOVING,
    coasting_part,
    first_fall,
    marked_at,
    shown_part,
    speed_before,
    turning_at,
)
from snath.formulas.signals.candidates import Track
from snath.formulas.stopping.fit import RunDown, fit_run_down
from snath.formulas.stopping.rest import FEWEST, rest_moment
from snath.quantities.errors import InputError, within
from snath.quantities.message import Message

COVERAGE = 1.96
ENOUGH = 8  # points a fit needs
VISIBLE = 0.1  # share of the start speed down to which a curve must be seen to show the stop by itself
DRAWN = 0.12  # of the stopping time; standard error of 19 stops heard as one smooth curve, of families not fitted to
SLOW = 8.0  # standard uncertainties; what is slower belongs to the end of the course
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
    release, standstill = marked_at(track, "release"), marked_at(track, "standstill")
    if release is not None and standstill is not None and release >= standstill:
        raise InputError("release", f"{release:g} s", Message("stop.before-standstill", t=standstill))
    start = release if release is not None else first_fall(track)
    if any(event.kind == "firing" and event.t_s > start for event in track.events):
        return _no_stop(released=release is not None, heard_alone=track.heard)
    coasting, mistaken = coasting_part(track, start), None
    if len(coasting.t_s) < len(track.t_s):
        mistaken = SPEEDS_UP
    else:
        coasting, mistaken = shown_part(track, start)
        if standstill is not None:  # who saw it stand is believed, but for what turns on after it
            last = max(turning_at(coasting), default=-math.inf)
            mistaken = STILL_TURNS if last > standstill + COVERAGE * u_standstill else None
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
    start = release if release is not None else first_fall(track)
    doubt = u_release if release is not None else 0.0
    turning = max((t for t in turning_at(track) if t >= start), default=start)
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


def _fitted(track: Track, start: float, standstill: float | None) -> tuple[RunDown | None, float]:
    """Friction through the falling part, and how far down it is seen; None where too little of it is there."""
    points = list(zip(track.t_s, track.rev_s, track.u, strict=True))
    top = speed_before(track, start)
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
