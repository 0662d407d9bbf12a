"""Answer what engine speed a machine allows, what binds, what would open it, and which readings would prove it."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from snath.decisions.job.job import Job, Result
from snath.decisions.job.proof import proof_of
from snath.decisions.machine.condition_words import bladed, condition_word
from snath.decisions.machine.parts import Machine
from snath.decisions.reading.instruments import Instrument
from snath.decisions.verdict.band import Way
from snath.decisions.verdict.take import Take
from snath.decisions.window.window import Bound, Remedy
from snath.shop.answers.facts import Fact, fact, facts
from snath.shop.answers.speeds import ceil_rpm, floor_rpm, hundredth_rpm, tenth_rpm
from snath.words.render import Locale, say


@dataclass(frozen=True)
class Binding:
    """What binds: the member, the row by its id, and the alternative that counts; empty where nothing does."""

    member: str
    rule: str
    alternative: str


@dataclass(frozen=True)
class BoundAnswer:
    """One limit carried back to the crankshaft, in one alternative.

    Attributes
    ----------
    member, shaft, rule, standing : str
        Which member, where it sits, by which row, and how well that is known.
    side : str
        "ceiling" or "floor".
    alternative : str
        The size, ratio and slip taken; empty where there is one way to see it.
    engine_rpm : float
        Crankshaft speed at which the limit is met. [rpm]
    u_rpm : float
        Its standard uncertainty. [rpm]
    ratio : float
        Member shaft over crankshaft speed.
    counts : bool
        Whether this alternative is the one that counts for its member.
    steps : tuple of Fact
        The arithmetic, line by line.
    """

    member: str
    shaft: str
    rule: str
    standing: str
    side: str
    alternative: str
    engine_rpm: float | None
    u_rpm: float | None
    ratio: float
    counts: bool
    steps: tuple[Fact, ...] = field(metadata={"serialization_alias": "working"})

    @property
    def working(self) -> str:
        """The arithmetic as text."""
        return "\n".join(self.steps)


@dataclass(frozen=True)
class RemedyAnswer:
    """One single change that opens the window.

    Attributes
    ----------
    change : Fact
        What is changed, and to what.
    kind, shaft : str
        "speed", "blade", "driver sheave", "driven sheave" or "ratio", and where.
    value, exactly : float or None
        The new size, of a sheave the next that is sold, and the mildest that opens it. [m], [rev/s] or a ratio
    ceiling_rpm, floor_rpm : int or None
        What the window becomes. [rpm]
    makers_approval_needed : bool
        True where parts change.
    """

    change: Fact
    kind: str
    shaft: str
    value: float | None
    exactly: float | None
    ceiling_rpm: int | None
    floor_rpm: int | None
    makers_approval_needed: bool


@dataclass(frozen=True)
class TakeAnswer:
    """One reading to take, and between which speeds it proves what it is for.

    Attributes
    ----------
    shaft, condition : str
        Where, and while what.
    pass_from_rpm, pass_to_rpm : float or None
        The band it passes in, at that shaft; None for an end that is open. [rpm]
    limits : tuple of str
        Members whose limits it proves.
    instrument : str or None
        With what; None where anything does.
    u_rpm : float or None
        Standard uncertainty somebody has to stand for. [rpm]
    judge_with : tuple of str
        What `snath judge` has to be told beside the reading.
    """

    shaft: str
    condition: str
    pass_from_rpm: float | None
    pass_to_rpm: float | None
    limits: tuple[str, ...] = field(metadata={"serialization_alias": "for"})
    instrument: str | None
    u_rpm: float | None
    judge_with: tuple[str, ...]


@dataclass(frozen=True)
class WindowAnswer:
    """What engine speed a machine allows without load; speeds at the crankshaft.

    Attributes
    ----------
    feasible : bool
        Whether some speed will do.
    shut : bool
        Whether none will.
    ceiling_rpm, floor_rpm : int or None
        Never above, never below. [rpm]
    target_rpm : float or None
        What to set to. [rpm]
    set_between_rpm : tuple of (int or None, int or None), or None
        The band to set in. [rpm]
    pass_below_rpm, fail_above_rpm : int or None
        Where a perfect reading would surely pass and surely fail. [rpm]
    setting : str
        Whether a target is known, and why not.
    binding : Binding
        What binds.
    members : tuple of BoundAnswer
        Every limit in every alternative.
    remedies : tuple of RemedyAnswer
        What would open it.
    notes : tuple of Fact
        What else has to be known.
    program : str
        Which version worked it out.
    """

    feasible: bool
    shut: bool
    ceiling_rpm: int | None
    floor_rpm: int | None
    target_rpm: float | None
    set_between_rpm: tuple[int | None, int | None] | None
    pass_below_rpm: int | None
    fail_above_rpm: int | None
    setting: str
    binding: Binding
    members: tuple[BoundAnswer, ...]
    remedies: tuple[RemedyAnswer, ...]
    notes: tuple[Fact, ...]
    program: str


@dataclass(frozen=True)
class AskedWindow(WindowAnswer):
    """The window of a machine that was asked for, and how it could be proven.

    Attributes
    ----------
    chosen_rule : str or None
        The row chosen in place of those in scope.
    take : tuple of TakeAnswer
        The fewest readings that would prove it.
    take_why : tuple of Fact
        Why none would, where there are none.
    """

    chosen_rule: str | None
    take: tuple[TakeAnswer, ...]
    take_why: tuple[Fact, ...]


def window_answer(result: Result, locale: Locale) -> WindowAnswer:
    """The window of a result."""
    return WindowAnswer(**_window(result, locale))


def asked_window(
    job: Job,
    result: Result,
    locale: Locale,
    *,
    named: Instrument | None = None,
    stated_u: float | None = None,
) -> AskedWindow:
    """The window of a job without readings, and which readings would prove it with the instrument named."""
    proof = proof_of(job, named=named, stated_u=stated_u)
    return AskedWindow(
        **_window(result, locale),
        chosen_rule=job.only_rule or None,
        take=tuple(_take(one, job.machine) for one in proof.takes),
        take_why=facts(proof.why, locale),
    )


def _window(result: Result, locale: Locale) -> dict[str, Any]:
    found = result.window
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
        "notes": facts((*found.notes, *result.notes), locale),
        "program": result.program,
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
