"""Judge what a machine does at its speed: governor, stop, throw, balance and checks of one job."""

from dataclasses import dataclass, replace

from snath.decisions.behaviour.asked import BehaviourInput, StopInput
from snath.decisions.behaviour.balance import BalanceResult, judge_balance
from snath.decisions.behaviour.checklist import ChecklistResult
from snath.decisions.behaviour.complaint import Complaint, from_loaded
from snath.decisions.behaviour.governor import GovernorResult, judge_governor
from snath.decisions.behaviour.setting import NextSetting, blocked_setting, next_setting
from snath.decisions.behaviour.setting_input import SettingInput
from snath.decisions.behaviour.stop import StopResult, judge_stop
from snath.decisions.behaviour.throw import ThrowResult, judge_throw
from snath.decisions.behaviour.thrown import ThrowInput, TipSpeed
from snath.decisions.machine.parts import Machine
from snath.decisions.verdict.verdict import Verdict
from snath.decisions.window.window import Window
from snath.quantities.measured import Measured
from snath.quantities.message import Message
from snath.rules.book import Rule

AT_THE_LIMIT = "at the limit"
NO_TARGET = Message("setting.no-target")
PAST_CEILING = Message("setting.past-ceiling")
TEST_AGAIN = Message("stop.test-again")


@dataclass(frozen=True, slots=True)
class BehaviourResult:
    """An answer for each question that was asked. Hazards are shown and decide nothing."""

    governor_found: GovernorResult | None = None
    governor_left: GovernorResult | None = None
    setting: NextSetting | None = None
    stop: StopResult | None = None
    throw: ThrowResult | None = None
    balance: BalanceResult | None = None
    checklist: ChecklistResult | None = None
    wanted: Complaint | None = None


def governors(
    given: BehaviourInput, rules: tuple[Rule, ...]
) -> tuple[GovernorResult | None, GovernorResult | None]:
    """The governor as found and as left, worked before any reading is judged: a hunting engine gives no pass."""
    found, left = given.governor_found, given.governor_left
    return (
        judge_governor(found, rules) if found else None,
        judge_governor(left, rules) if left else None,
    )


def judge_behaviour(
    given: BehaviourInput,
    machine: Machine,
    rules: tuple[Rule, ...],
    *,
    market: str,
    window: Window,
    found: Verdict | None,
    left: Verdict | None,
    governed: tuple[GovernorResult | None, GovernorResult | None],
    checked: ChecklistResult,
) -> BehaviourResult:
    """Everything but the readings' own verdicts. `checked` is the machine's list of checks as it was walked.

    Raises
    ------
    InputError
        Naming the first input that cannot be.
    """
    governor = governed[1] or governed[0]
    return BehaviourResult(
        governor_found=governed[0],
        governor_left=governed[1],
        setting=_setting(given.setting, window, governor, checked),
        stop=_stop(given.stop, machine, rules, market),
        throw=_throw(given.throw, window, found, left),
        balance=judge_balance(given.balance) if given.balance else None,
        checklist=checked if given.checklist else None,
        wanted=_wanted(given.wanted_loaded, governor, window),
    )


def _wanted(loaded: Measured | None, governor: GovernorResult | None, window: Window) -> Complaint | None:
    """The no-load speed a wish under load takes, with this engine's own droop, held against the ceiling."""
    if loaded is None or governor is None or governor.droop_on_loaded is None:
        return None
    return from_loaded(loaded=loaded, droop=governor.droop_on_loaded, ceiling=window.ceiling)


def _setting(
    given: SettingInput | None, window: Window, governor: GovernorResult | None, checked: ChecklistResult
) -> NextSetting | None:
    """No advice towards a target the window does not allow, however it was put on the job."""
    if given is None:
        return None
    if checked.blocking:
        return blocked_setting(checked)
    if window.setting in ("stop", "no room") or not window.feasible:
        return NextSetting("no choice fits", None, None, None, NO_TARGET)
    if window.pass_below is not None:
        given = replace(given, ceiling=window.pass_below)
    if window.target is not None and window.set_low is not None and window.set_high is not None:
        given = replace(given, target=window.target, set_low=window.set_low, set_high=window.set_high)
    if given.set_high > given.ceiling:
        return NextSetting("no choice fits", None, None, None, PAST_CEILING)
    return next_setting(given, hunts=governor.hunts if governor else None, checked=checked)


def _stop(
    given: StopInput | None, machine: Machine, rules: tuple[Rule, ...], market: str
) -> StopResult | None:
    """Undecided where the machine was changed since and the shaft of the test is no longer on it."""
    if given is None:
        return None
    for shaft in (given.blade_shaft, given.track.shaft):
        if shaft not in machine.shafts:
            why = Message("stop.shaft-gone", shaft=shaft)
            return StopResult("undecided", None, (), (why,), (TEST_AGAIN,))
    return judge_stop(given, machine, rules, market=market)


def _throw(
    given: ThrowInput | None, window: Window, found: Verdict | None, left: Verdict | None
) -> ThrowResult | None:
    if given is None:
        return None
    if given.stages:
        return judge_throw(given)
    stages = [
        TipSpeed(name, speed)
        for name, verdict in (("as found", found), ("as left", left))
        if verdict is not None and (speed := _tip_speed(verdict)) is not None
    ]
    allowed = [b.limit for b in window.bounds if b.worst and b.kind == "surface speed"]
    if allowed:
        stages.append(TipSpeed(AT_THE_LIMIT, min(allowed)))
    if not stages:
        return None  # nothing read and no limit on a tip: there is nothing to compare yet
    return judge_throw(replace(given, stages=tuple(stages)))


def _tip_speed(verdict: Verdict) -> float | None:
    """The fastest blade's tip at that reading. [m/s]"""
    reached = [m.reached for m in verdict.members if m.kind == "surface speed" and m.reached is not None]
    return max(reached, default=None)
