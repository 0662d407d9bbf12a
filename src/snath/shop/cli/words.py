"""Say a window and a verdict in the words a mechanic uses, for the terminal."""

from collections.abc import Iterable, Iterator

from snath.decisions.machine.parts import Machine
from snath.decisions.verdict.verdict import Verdict
from snath.decisions.window.fold import folded
from snath.decisions.window.window import Window
from snath.quantities.message import Message, term
from snath.shop.answers.chances import chances
from snath.shop.answers.heads import (
    bench_caution,
    turning,
    window_head,
)
from snath.shop.answers.verdict_head import verdict_head
from snath.shop.cli.answer import said


def window_text(window: Window, notes: Iterable[Message], machine: Machine) -> str:
    """The window as lines, with what to know of how it was judged."""
    return "\n".join(_window_lines(window, (*notes, bench_caution(machine))))


def verdict_text(verdict: Verdict) -> str:
    """The verdict as lines."""
    return "\n".join(_verdict_lines(verdict))


def _window_lines(window: Window, notes: tuple[Message, ...]) -> Iterator[str]:
    yield from map(said, window_head(window))
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


def _verdict_lines(verdict: Verdict) -> Iterator[str]:
    yield from map(said, verdict_head(verdict))
    if verdict.p_over is not None:
        yield said(Message("terminal.chance-over", chance=chances(*verdict.p_over)))
    if verdict.work:
        yield said(Message("terminal.work", work=term("work-word", verdict.work)))
    if verdict.decision_rule == "simple acceptance":
        yield said(Message("terminal.simple-acceptance"))
    yield from map(said, verdict.reasons)
    yield from (f"-> {said(step)}" for step in verdict.settle)
