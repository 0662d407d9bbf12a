"""Advise the next setting of a governor, from those already measured, never past the ceiling."""

from dataclasses import dataclass
from typing import Literal

from snath.decisions.behaviour.checklist import ChecklistResult
from snath.decisions.behaviour.setting_curve import Curves
from snath.decisions.behaviour.setting_input import ONE_SIDED, SettingInput, upper
from snath.decisions.behaviour.setting_place import none_fits, slower, sought
from snath.quantities.measured import Line, Measured
from snath.quantities.message import Message

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
UNTOLD = 0.2  # chance of either way under which it is not known which way is faster
HOW = (
    Message("setting.from-below"),
    Message("setting.blip"),
    Message("setting.three-times"),
    Message("setting.idle-again"),
    Message("setting.no-mixture"),
)
OPEN_SLOWLY = Message("setting.open-slowly")  # what comes out at a place is worked out, and linkages stick


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

    @property
    def still_open(self) -> tuple[Message, ...]:
        """The checks that come first, where they are why nothing is set yet."""
        given = self.why.values.get("open") if isinstance(self.why, Message) else None
        return tuple(one for one in given if isinstance(one, Message)) if isinstance(given, tuple) else ()


def next_setting(given: SettingInput, *, hunts: bool | None, checked: ChecklistResult) -> NextSetting:
    """The next setting, or why there is none.

    Raises
    ------
    InputError
        If the band is upside down, the target lies outside it or past the ceiling, or points are bad.
    """
    given.refuse_nonsense()
    held = _held_back(hunts, checked)
    if held is not None:
        return held
    if given.points and _inside(given, given.points[-1].speed):
        return _leave(given)
    if given.kind == "spring holes":
        return _hole(given)
    return _worked_out(given)


def blocked_setting(checked: ChecklistResult) -> NextSetting:
    """No setting while a fault stands against running the machine at all."""
    return _stop("blocked", Message("checks.blocks", fault=checked.blocking))


def _held_back(hunts: bool | None, checked: ChecklistResult) -> NextSetting | None:
    if checked.blocking:
        return blocked_setting(checked)
    if checked.outcome:
        return _stop("not adjustable here", checked.outcome)
    if hunts:
        return _stop("repair first", Message("setting.hunts"))
    if checked.open_before_setting:
        return _stop("checks first", Message("setting.still-open", open=checked.open_before_setting))
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
    if not _two_places(given):
        return _stop("measure another", Message("setting.try-next-hole"))
    curves = Curves(given)
    place = sought(curves)
    none = none_fits(curves, place) if place is not None else None
    if none is not None:
        return _stop("no choice fits", none)
    place = slower(curves)[0] if place is None else place
    return NextSetting(
        "measure another", place, None, None, Message("setting.try-this-hole"), (OPEN_SLOWLY, *HOW)
    )


def _two_places(given: SettingInput) -> bool:
    return len({point.position for point in given.points}) > 1


def _worked_out(given: SettingInput) -> NextSetting:
    """The setting that the curves through those tried lead to."""
    if not _two_places(given):
        return _stop("measure another", Message("setting.two-needed"))
    curves = Curves(given)
    if UNTOLD < curves.rises < 1 - UNTOLD:
        return _stop("measure another", Message("setting.no-difference"))
    place = sought(curves)
    if place is None:
        place, why = slower(curves)
        return NextSetting("measure another", place, None, None, why, (OPEN_SLOWLY, *HOW))
    none = none_fits(curves, place)
    if none is not None:
        return _stop("no choice fits", none)
    middle, edge = curves.stays_under(place, 0.5), curves.stays_under(place, 0.95)
    tried = [point.position for point in given.points]
    between = min(tried) <= place <= max(tried)
    why = Message("setting.between") if between else Message("setting.step-past")
    expected = Measured(middle, (Line("settings tried", (edge - middle) / ONE_SIDED),))
    return NextSetting("set to", place, expected, edge, why, (OPEN_SLOWLY, *HOW))


def _stop(advice: Advice, why: Message | str) -> NextSetting:
    return NextSetting(advice, None, None, None, why)
