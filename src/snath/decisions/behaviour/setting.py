"""Where to set the governor next? From settings already measured, towards the target, never past the ceiling."""

import math
from dataclasses import dataclass
from typing import Literal

from snath.decisions.behaviour.checklist import ChecklistResult
from snath.decisions.behaviour.ranges import turning, typed_rpm
from snath.decisions.behaviour.setting_curve import Pair, SettingPoint, pair_around, upper
from snath.quantities.errors import InputError, within
from snath.quantities.measured import Measured
from snath.quantities.message import Amount, Message, term

SettingKind = Literal["turns", "notches", "spring holes"]
Advice = Literal[
    "set to",
    "leave it",
    "measure another",
    "no choice fits",
    "blocked",
    "checks first",
    "repair first",
    "not adjustable here",
]
HOW = (
    Message("setting.from-below"),
    Message("setting.blip"),
    Message("setting.three-times"),
    Message("setting.idle-again"),
    Message("setting.no-mixture"),
)


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
    why : Message
    steps : tuple of Message
        How to do it; empty where nothing is to be set.
    """

    advice: Advice
    position: float | None
    predicted: Measured | None
    upper: float | None
    why: Message | str
    steps: tuple[Message, ...] = ()


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
        return _stop("measure another", Message("setting.two-needed"))
    return _between(given)


def _refuse_nonsense(given: SettingInput) -> None:
    for name in ("target", "set_low", "set_high", "ceiling"):
        turning(name, getattr(given, name))
    if given.set_low > given.set_high:
        upside = Message("setting.upside-down", high=Amount(given.set_high, "rotation"))
        raise InputError("set_low", typed_rpm(given.set_low), upside)
    if not given.set_low <= given.target <= given.set_high:
        low, high = Amount(given.set_low, "rotation"), Amount(given.set_high, "rotation")
        raise InputError("target", typed_rpm(given.target), Message("setting.in-band", low=low, high=high))
    if given.set_high > given.ceiling:
        allowed = Message("setting.over-ceiling", ceiling=Amount(given.ceiling, "rotation"))
        raise InputError("set_high", typed_rpm(given.set_high), allowed)
    for point in given.points:
        within("position", point.position, -1000, 1000)
        turning("speed", point.speed.value)
        if given.kind != "turns" and point.position != round(point.position):
            raise InputError(
                "position",
                point.position,
                Message("setting.whole-number", kind=term("setting-kind", given.kind)),
            )


def blocked_setting(checked: ChecklistResult) -> NextSetting:
    """No setting while a fault stands against running the machine at all."""
    return _stop("blocked", Message("checks.blocks", fault="; ".join(checked.blocking)))


def _held_back(hunts: bool | None, checked: ChecklistResult) -> NextSetting | None:
    if checked.blocking:
        return blocked_setting(checked)
    if checked.outcome:
        return _stop("not adjustable here", checked.outcome)
    if hunts:
        return _stop("repair first", Message("setting.hunts"))
    if checked.open_before_setting:
        return _stop("checks first", Message("setting.still-open", open=tuple(checked.open_before_setting)))
    if hunts is None:
        return _stop("checks first", Message("setting.hunting-not-known"))
    return None


def _inside(given: SettingInput, speed: Measured) -> bool:
    return given.set_low <= speed.value <= given.set_high and upper(speed) <= given.ceiling


def _leave(given: SettingInput) -> NextSetting:
    last = given.points[-1]
    why = Message("setting.in-band-now")
    idle = last.idle
    if idle is not None and given.idle_low is not None and given.idle_high is not None:
        if not given.idle_low <= idle <= given.idle_high:
            why = Message("setting.idle-off")
        else:
            why = Message("setting.idle-on")
    return NextSetting("leave it", last.position, last.speed, upper(last.speed), why)


def _hole(given: SettingInput) -> NextSetting:
    """A spring hole has no in-between: only holes that were measured can be chosen."""
    fitting = [point for point in given.points if _inside(given, point.speed)]
    if fitting:
        best = min(fitting, key=lambda point: abs(point.speed.value - given.target))
        return NextSetting(
            "set to", best.position, best.speed, upper(best.speed), Message("setting.measured"), HOW
        )
    if len(given.points) < 2 or all(point.speed.value < given.set_low for point in given.points):
        return _stop("measure another", Message("setting.try-next-hole"))
    return _stop("no choice fits", Message("setting.no-hole"))


def _between(given: SettingInput) -> NextSetting:
    pair = pair_around(given.points, given.target)
    if pair is None:
        return _stop("measure another", Message("setting.no-difference"))
    position = pair.reachable(pair.position_for(given.target))
    if given.kind == "notches":
        return _notch(given, pair, position)
    kept = pair.kept_under(given.ceiling, position)
    if kept is None:
        return _stop("measure another", Message("setting.both-over"))
    speed = pair.speed_at(kept)
    why = Message("setting.between")
    if not 0 <= pair.share(kept) <= 1:
        why = Message("setting.step-past")
    return NextSetting("set to", kept, speed, pair.upper_at(kept), why, HOW)


def _notch(given: SettingInput, pair: Pair, position: float) -> NextSetting:
    """The whole notch nearest the target of those that stay in the band."""
    choices = []
    for notch in (math.floor(position), math.ceil(position)):
        speed = pair.speed_at(notch)
        if pair.upper_at(notch) <= given.ceiling and speed.value <= given.set_high:
            choices.append((abs(speed.value - given.target), notch, speed))
    if not choices:
        return _stop("no choice fits", Message("setting.notches-past"))
    _, notch, speed = min(choices, key=lambda choice: choice[0])
    in_band = speed.value >= given.set_low
    why = Message("setting.between-notches") if in_band else Message("setting.nearest-notch")
    return NextSetting("set to", float(notch), speed, pair.upper_at(notch), why, HOW)


def _stop(advice: Advice, why: Message | str) -> NextSetting:
    return NextSetting(advice, None, None, None, why)
