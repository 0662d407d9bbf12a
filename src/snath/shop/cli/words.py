"""A window and a verdict in the words a mechanic uses, for the terminal."""

from collections.abc import Iterator

from snath.decisions.job.job import Result
from snath.decisions.verdict.verdict import Verdict
from snath.decisions.window.fold import folded
from snath.decisions.window.window import Window
from snath.quantities.message import Message
from snath.quantities.units import Rounding, show
from snath.shop.cli.answer import reader, said

BENCH_CAUTION = (
    "Before a hand goes near a blade: every plug lead off and grounded, key out, fuel off, battery out, blade "
    "blocked. The maker's manual and local codes come first."
)
RUNNING_CAUTION = (
    "Running adjustments outdoors and from the side, guards on, people away, eyes and ears covered; nobody looks "
    "under a running deck."
)


def rpm(speed: float | None, *, side: str = "nearest") -> str:
    """A speed as printed; ceilings go down, floors up."""
    if speed is None:
        return "not known"
    way: Rounding = "down" if side == "down" else "up" if side == "up" else "nearest"
    return show(speed, "rpm", digits=0, round=way, decimal_mark=reader().decimal_mark)


def window_text(result: Result) -> str:
    """The window as lines."""
    return "\n".join(_window_lines(result.window, result.notes))


def verdict_text(verdict: Verdict) -> str:
    """The verdict as lines."""
    return "\n".join(_verdict_lines(verdict))


def _window_lines(window: Window, notes: tuple[Message, ...]) -> Iterator[str]:
    if window.shut:
        yield "No engine speed will do: the window is shut."
        yield f"Needed        {rpm(window.floor, side='up')} and more"
        yield f"Allowed       {rpm(window.ceiling, side='down')} and less"
    else:
        yield f"Never above   {rpm(window.ceiling, side='down')}"
        if window.floor is not None:
            yield f"Never below   {rpm(window.floor, side='up')}"
        yield f"Set to        {_set_to(window)}"
    yield ""
    yield "What limits it"
    for row in folded(window.bounds):
        bound = row[0]
        binds = any((b.member, b.rule) == (window.binding, window.binding_rule) for b in row)
        names, rules = (
            ", ".join(dict.fromkeys(part)) for part in zip(*((b.member, b.rule) for b in row), strict=True)
        )
        seen = f", {bound.alternative}" if bound.alternative else ""
        yield f" {'*' if binds else ' '} {names} by {rules}{seen}"
        yield from (f"       {line}" for line in bound.working)
    if window.remedies:
        yield ""
        yield "What would open it (one of these; the maker's approval is needed where parts change)"
        for remedy in window.remedies:
            yield f"   {remedy.change}: then never above {rpm(remedy.ceiling, side='down')}"
    yield ""
    yield from map(said, window.notes)
    yield from map(said, notes)
    yield BENCH_CAUTION


def _set_to(window: Window) -> str:
    if window.target is None:
        return SETTING_WORDS[window.setting]
    band = f"{rpm(window.set_low, side='up')} to {rpm(window.set_high, side='down')}"
    return f"{rpm(window.target)} (anywhere from {band})"


SETTING_WORDS = {
    "not known": "not known: look up the equipment maker's figure",
    "stop": "stop: the maker's figure lies outside; check blade, pulleys, engine code, manual",
    "no room": "no room between the maker's figure and the ceiling for this instrument",
    "known": "",
}


def chances(least: float, most: float) -> str:
    """A range of chances, never as certain as 0 or 100 %."""
    low, high = _chance(least), _chance(most)
    return low if low == high else f"{low} to {high}"


def _chance(p: float) -> str:
    if p < 0.001:
        return "under 0.1 %"
    return "over 99.9 %" if p > 0.999 else f"{100 * p:.1f} %"


def _verdict_lines(verdict: Verdict) -> Iterator[str]:
    yield f"Verdict: {verdict.word} ({verdict.decision_rule})"
    yield f"Limits: {verdict.limits}.  Maker's figure: {verdict.maker}."
    if verdict.p_over is not None:
        yield f"Chance of being over: {chances(*verdict.p_over)}"
    yield f"Passes below {rpm(verdict.pass_below, side='down')}, fails above {rpm(verdict.fail_above, side='up')}"
    if verdict.decision_rule == "simple acceptance":
        yield "SIMPLE ACCEPTANCE: A READING ON THE LIMIT IS WRONG EVERY OTHER TIME."
    yield from map(said, verdict.reasons)
    yield from (f"-> {said(step)}" for step in verdict.settle)
    yield RUNNING_CAUTION
