"""Where to set the governor next? From settings already measured, towards the target, never past the ceiling."""

import math
from dataclasses import dataclass
from typing import Literal

from snath.decisions.behaviour.checklist import ChecklistResult
from snath.decisions.behaviour.ranges import turning, typed_rpm
from snath.decisions.behaviour.setting_curve import Pair, SettingPoint, pair_around, upper
from snath.quantities.errors import InputError, within
from snath.quantities.measured import Measured

SettingKind = Literal["turns", "notches", "spring holes"]
Advice = Literal[
    "set to",
    "leave it",
    "measure another",
    "no choice fits",
    "checks first",
    "repair first",
    "not adjustable here",
]
STEPS = (
    "Come from below: turn it slower than wanted first, then up to the setting, so that play is always on one side.",
    "Blip the throttle once and let it settle.",
    "Read it three times; set again only if all three agree.",
    "Read idle again: top and idle are set together.",
)
NO_MIXTURE = "Mixture screws are never a way to a speed."


@dataclass(frozen=True, slots=True)
class SettingInput:
    """What has been tried, and where it should go.

    Attributes
    ----------
    kind : str
        "turns" and "notches" may be worked out in between; "spring holes" are choices, each measured.
    points : tuple of SettingPoint
        In the order they were tried, the machine now standing at the last.
    target : float
        [rev/s]
    set_low, set_high : float
        Band to set in. [rev/s]
    ceiling : float
        No-load speed no limit allows to be passed. [rev/s]
    idle_low, idle_high : float or None
        The maker's idle. [rev/s]
    """

    kind: SettingKind
    points: tuple[SettingPoint, ...]
    target: float
    set_low: float
    set_high: float
    ceiling: float
    idle_low: float | None = None
    idle_high: float | None = None


@dataclass(frozen=True, slots=True)
class NextSetting:
    """The next thing to do.

    Attributes
    ----------
    advice : str
        One of `Advice`.
    position : float or None
        Where to.
    predicted : Measured or None
        Speed to expect there. [rev/s]
    upper : float or None
        What it will stay under with 95 %. [rev/s]
    why : str
    steps : tuple of str
        How to do it; empty where nothing is to be set.
    """

    advice: Advice
    position: float | None
    predicted: Measured | None
    upper: float | None
    why: str
    steps: tuple[str, ...] = ()


def next_setting(given: SettingInput, *, hunts: bool | None, checked: ChecklistResult) -> NextSetting:
    """The next setting, or why there is none.

    Raises
    ------
    InputError
        If the band is upside down, the target lies outside it or past the ceiling, or points are bad.
    """
    _refuse_nonsense(given)
    held = _held_back(hunts, checked)
    if held is not None:
        return held
    if given.points and _inside(given, given.points[-1].speed):
        return _leave(given)
    if given.kind == "spring holes":
        return _hole(given)
    if len({point.position for point in given.points}) < 2:
        return _stop(
            "measure another", "Two different settings must be measured before a third is worked out."
        )
    return _between(given)


def _refuse_nonsense(given: SettingInput) -> None:
    for name in ("target", "set_low", "set_high", "ceiling"):
        turning(name, getattr(given, name))
    if given.set_low > given.set_high:
        upside = f"must not be above the other end of the band, {typed_rpm(given.set_high)}"
        raise InputError("set_low", typed_rpm(given.set_low), upside)
    if not given.set_low <= given.target <= given.set_high:
        band = f"{typed_rpm(given.set_low)} to {typed_rpm(given.set_high)}"
        raise InputError("target", typed_rpm(given.target), f"must lie in the band to set in, {band}")
    if given.set_high > given.ceiling:
        allowed = f"must not be above the ceiling, {typed_rpm(given.ceiling)}"
        raise InputError("set_high", typed_rpm(given.set_high), allowed)
    for point in given.points:
        within("position", point.position, -1000, 1000)
        turning("speed", point.speed.value)
        if given.kind != "turns" and point.position != round(point.position):
            raise InputError("position", point.position, f"must be a whole number for {given.kind}")


def _held_back(hunts: bool | None, checked: ChecklistResult) -> NextSetting | None:
    if checked.outcome:
        return _stop("not adjustable here", checked.outcome)
    if hunts:
        return _stop("repair first", "It hunts. While it does no setting can be judged; find out why first.")
    if checked.open_before_setting:
        return _stop("checks first", "Still open: " + " ".join(checked.open_before_setting))
    if hunts is None:
        return _stop("checks first", "Whether it hunts is not known: record 20 s of steady running first.")
    return None


def _inside(given: SettingInput, speed: Measured) -> bool:
    return given.set_low <= speed.value <= given.set_high and upper(speed) <= given.ceiling


def _leave(given: SettingInput) -> NextSetting:
    last = given.points[-1]
    why = "The last reading lies in the band to set in."
    idle = last.idle
    if idle is not None and given.idle_low is not None and given.idle_high is not None:
        if not given.idle_low <= idle <= given.idle_high:
            why += " Idle is off its figure: set the idle stop, then read the top again."
        else:
            why += " Idle is on its figure."
    return NextSetting("leave it", last.position, last.speed, upper(last.speed), why)


def _hole(given: SettingInput) -> NextSetting:
    """A spring hole has no in-between: only holes that were measured can be chosen."""
    fitting = [point for point in given.points if _inside(given, point.speed)]
    if fitting:
        best = min(fitting, key=lambda point: abs(point.speed.value - given.target))
        return NextSetting(
            "set to", best.position, best.speed, upper(best.speed), "Measured, in the band.", _how()
        )
    if len(given.points) < 2 or all(point.speed.value < given.set_low for point in given.points):
        why = (
            "No measured hole lies in the band, and no speed is worked out for one that was not tried. Try the "
            "next one, throttle opened slowly, and close it at once when it comes near the ceiling."
        )
        return _stop("measure another", why)
    why = "No measured hole lies in the band: between holes there is only the maker's other spring or part."
    return _stop("no choice fits", why)


def _between(given: SettingInput) -> NextSetting:
    pair = pair_around(given.points, given.target)
    if pair is None:
        return _stop("measure another", "The settings measured do not differ in speed: try one further away.")
    position = pair.reachable(pair.position_for(given.target))
    if given.kind == "notches":
        return _notch(given, pair, position)
    kept = pair.kept_under(given.ceiling, position)
    if kept is None:
        return _stop(
            "measure another", "Both settings lie over the ceiling: set it much slower and read again."
        )
    speed = pair.speed_at(kept)
    why = "Worked out between two measured settings."
    if not 0 <= pair.share(kept) <= 1:
        why = "A step past the measured settings, not far: read it before the next."
    return NextSetting("set to", kept, speed, pair.upper_at(kept), why, _how())


def _notch(given: SettingInput, pair: Pair, position: float) -> NextSetting:
    """The whole notch nearest the target of those that stay in the band."""
    choices = []
    for notch in (math.floor(position), math.ceil(position)):
        speed = pair.speed_at(notch)
        if pair.upper_at(notch) <= given.ceiling and speed.value <= given.set_high:
            choices.append((abs(speed.value - given.target), notch, speed))
    if not choices:
        return _stop("no choice fits", "The notches around the target lie past the band to set in.")
    _, notch, speed = min(choices, key=lambda choice: choice[0])
    in_band = speed.value >= given.set_low
    why = "Worked out between two measured notches." if in_band else "Nearest notch, still under the band."
    return NextSetting("set to", float(notch), speed, pair.upper_at(notch), why, _how())


def _how() -> tuple[str, ...]:
    return (*STEPS, NO_MIXTURE)


def _stop(advice: Advice, why: str) -> NextSetting:
    return NextSetting(advice, None, None, None, why)
