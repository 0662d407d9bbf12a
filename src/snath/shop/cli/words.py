"""Say a window and a verdict in the words a mechanic uses, for the terminal."""

from collections.abc import Iterator

from snath.decisions.job.job import Result
from snath.decisions.job.stands import JobVerdict
from snath.decisions.machine.condition_words import bladed
from snath.decisions.machine.parts import Machine
from snath.decisions.verdict.verdict import Verdict
from snath.decisions.window.fold import folded
from snath.decisions.window.window import Window
from snath.quantities.message import Amount, Message, term
from snath.shop.cli.answer import said
from snath.words.render import ENGLISH, say

BENCH_CAUTION = Message("terminal.bench-caution")
RUNNING_CAUTION = Message("terminal.running-caution")


def bench_caution(machine: Machine) -> Message:
    """What comes before a hand goes near this machine."""
    return BENCH_CAUTION if bladed(machine) else Message("terminal.bench-caution-load")


def running_caution(machine: Machine) -> Message:
    """What comes before this machine is set while it runs."""
    return RUNNING_CAUTION if bladed(machine) else Message("terminal.running-caution-load")


def turning(speed: float | None) -> Amount | Message:
    """A shaft speed for a sentence, or that it is not known. [rev/s]"""
    return Message("terminal.not-known") if speed is None else Amount(speed, "rotation")


def job_text(stands: JobVerdict) -> Iterator[str]:
    """The one word of the whole job, with what blocks it; nothing where nothing was read."""
    if stands.word:
        use = [Message("terminal.do-not-run")] if stands.word == "blocked" else []
        head = Message("terminal.this-job", word=term("verdict-word", stands.word))
        lines: tuple[Message | str, ...] = (head, *use, *stands.blocked_by)
        yield "\n".join(map(said, lines))


def window_text(result: Result, machine: Machine) -> str:
    """The window as lines."""
    return "\n".join(_window_lines(result.window, (*result.notes, bench_caution(machine))))


def verdict_text(verdict: Verdict, machine: Machine) -> str:
    """The verdict as lines."""
    return "\n".join([*_verdict_lines(verdict), said(running_caution(machine))])


def _window_lines(window: Window, notes: tuple[Message, ...]) -> Iterator[str]:
    if window.shut:
        yield said(Message("terminal.shut"))
        yield said(Message("terminal.needed", speed=turning(window.floor)))
        yield said(Message("terminal.allowed", speed=turning(window.ceiling)))
    else:
        yield said(Message("terminal.never-above", speed=turning(window.ceiling)))
        if window.floor is not None:
            yield said(Message("terminal.never-below", speed=turning(window.floor)))
        yield said(_set_to(window))
    yield ""
    yield said(Message("terminal.what-limits"))
    for row in folded(window.bounds):
        bound = row[0]
        binds = any((b.member, b.rule) == (window.binding, window.binding_rule) for b in row)
        members, rules = (
            tuple(dict.fromkeys(part)) for part in zip(*((b.member, b.rule) for b in row), strict=True)
        )
        by = said(Message("terminal.by-rule", member=members, rule=rules))
        seen = f", {said(bound.alternative)}" if bound.alternative else ""
        yield f" {'*' if binds else ' '} {by}{seen}"
        yield from (f"       {said(line)}" for line in bound.working)
    if window.remedies:
        yield ""
        yield said(Message("terminal.what-opens"))
        for remedy in window.remedies:
            then = said(Message("terminal.then-never-above", speed=turning(remedy.ceiling)))
            yield f"   {said(remedy.change)}: {then}"
    yield ""
    yield from map(said, window.notes)
    yield from map(said, notes)


def _set_to(window: Window) -> Message:
    if window.target is None:
        return Message("terminal.not-set", why=term("terminal-setting", window.setting))
    low, high = turning(window.set_low), turning(window.set_high)
    return Message("terminal.set-to", speed=turning(window.target), low=low, high=high)


def chances(least: float, most: float) -> Message:
    """A range of chances, never as certain as 0 or 100 %."""
    low, high = _chance(least), _chance(most)
    return low if say(low, ENGLISH) == say(high, ENGLISH) else Message("terminal.from-to", low=low, high=high)


def _chance(p: float) -> Message:
    if p < 0.001:
        return Message("terminal.under-share", share=Amount(0.001, "share"))
    if p > 0.999:
        return Message("terminal.over-share", share=Amount(0.999, "share"))
    return Message("terminal.share", share=Amount(p, "share"))


def _verdict_lines(verdict: Verdict) -> Iterator[str]:
    word, rule = term("verdict-word", verdict.word), term("decision-rule", verdict.decision_rule)
    yield said(Message("terminal.verdict", word=word, rule=rule))
    limits, maker = term("limits-word", verdict.limits), term("maker-word", verdict.maker)
    yield said(Message("terminal.limits-and-maker", limits=limits, maker=maker))
    if verdict.p_over is not None:
        yield said(Message("terminal.chance-over", chance=chances(*verdict.p_over)))
    if verdict.work:
        yield said(Message("terminal.work", work=term("work-word", verdict.work)))
    if verdict.decision_rule == "simple acceptance":
        yield said(Message("terminal.simple-acceptance"))
    yield from map(said, verdict.reasons)
    yield from (f"-> {said(step)}" for step in verdict.settle)
