"""Answer what engine speed a machine allows, what binds, what would open it, and which readings would prove it."""

from collections.abc import Iterator
from typing import Any

from snath.decisions.job.job import Job
from snath.decisions.job.program import PROGRAM
from snath.decisions.job.proof import proof_of
from snath.decisions.job.window_of import notes_of
from snath.decisions.machine.condition_words import bladed, condition_word
from snath.decisions.machine.parts import Machine
from snath.decisions.reading.instruments import Instrument
from snath.decisions.verdict.band import Way
from snath.decisions.verdict.take import Take
from snath.decisions.window.window import Bound, Remedy, Window
from snath.quantities.message import Message
from snath.shop.answers.facts import fact, facts
from snath.shop.answers.speeds import ceil_rpm, floor_rpm, hundredth_rpm, tenth_rpm
from snath.shop.answers.window_types import (
    AskedWindow,
    Binding,
    BoundAnswer,
    RemedyAnswer,
    TakeAnswer,
    WindowAnswer,
)
from snath.words.render import Locale, say


def window_answer(window: Window, notes: tuple[Message, ...], program: str, locale: Locale) -> WindowAnswer:
    """The window of a job that was worked by that program."""
    return WindowAnswer(**_window(window, notes, locale), program=program)


def asked_window(
    job: Job,
    window: Window,
    locale: Locale,
    *,
    named: Instrument | None = None,
    stated_u: float | None = None,
) -> AskedWindow:
    """The window of a job without readings, and which readings would prove it with the instrument named."""
    proof = proof_of(job, named=named, stated_u=stated_u)
    return AskedWindow(
        **_window(window, tuple(notes_of(job)), locale),
        program=PROGRAM,
        chosen_rule=job.only_rule or None,
        take=tuple(_take(one, job.machine) for one in proof.takes),
        take_why=facts(proof.why, locale),
    )


def _window(found: Window, notes: tuple[Message, ...], locale: Locale) -> dict[str, Any]:
    low, high = ceil_rpm(found.set_low), floor_rpm(found.set_high)
    binding = next((b for b in found.bounds if b.worst and b.member == found.binding), None)
    return {
        "feasible": found.feasible,
        "shut": found.shut,
        "ceiling_rpm": floor_rpm(found.ceiling),
        "floor_rpm": ceil_rpm(found.floor),
        "target_rpm": tenth_rpm(found.target),
        "set_between_rpm": None if low is None else (low, high),
        "pass_below_rpm": floor_rpm(found.pass_below),
        "fail_above_rpm": ceil_rpm(found.fail_above),
        "setting": found.setting,
        "binding": Binding(
            found.binding, found.binding_rule, say(binding.alternative, locale) if binding else ""
        ),
        "members": tuple(_bound(bound, locale) for bound in found.bounds),
        "remedies": tuple(_remedy(remedy, locale) for remedy in found.remedies),
        "notes": facts((*found.notes, *notes), locale),
    }


def _bound(bound: Bound, locale: Locale) -> BoundAnswer:
    return BoundAnswer(
        member=bound.member,
        shaft=bound.shaft,
        rule=bound.rule,
        standing=bound.standing,
        side=bound.side,
        alternative=say(bound.alternative, locale),
        engine_rpm=tenth_rpm(bound.engine.value),
        u_rpm=tenth_rpm(bound.engine.u),
        ratio=round(bound.ratio, 6),
        counts=bound.worst,
        steps=facts(bound.working, locale),
    )


def _remedy(remedy: Remedy, locale: Locale) -> RemedyAnswer:
    return RemedyAnswer(
        change=fact(remedy.change, locale),
        kind=remedy.kind,
        shaft=remedy.shaft,
        value=remedy.value,
        exactly=remedy.exactly,
        ceiling_rpm=floor_rpm(remedy.ceiling),
        floor_rpm=ceil_rpm(remedy.floor),
        makers_approval_needed=remedy.approval,
    )


def _take(one: Take, machine: Machine) -> TakeAnswer:
    way = one.band.way
    return TakeAnswer(
        shaft=way.shaft,
        condition=condition_word(way.condition, blades=bladed(machine)),
        pass_from_rpm=hundredth_rpm(one.band.low, up=True),
        pass_to_rpm=hundredth_rpm(one.band.high, up=False),
        limits=one.limits,
        instrument=None if way.instrument is None else way.instrument.name,
        u_rpm=None if way.stated_u is None else round(way.stated_u * 60, 3),
        judge_with=tuple(_options(way)),
    )


def _options(way: Way) -> Iterator[str]:
    """What `snath judge` has to be told beside the reading."""
    tool = way.instrument
    if tool is not None and tool.accuracy:
        yield from ("--accuracy", f"{100 * tool.accuracy:.4g} %", "--instrument", tool.kind)
    elif tool is not None:
        yield from ("--instrument", tool.kind)
    if way.stated_u is not None:
        yield from ("--u", f"{way.stated_u * 60:.6g} rpm")
