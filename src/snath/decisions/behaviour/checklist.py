"""Say which checks belong to this machine, what stands against running it, and whether anything may be set yet."""

import tomllib
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal, get_args

from snath.decisions.behaviour.asked import ChecklistInput, Mark, StageName, State
from snath.decisions.machine.parts import Machine
from snath.quantities.errors import InputError
from snath.quantities.message import Message, term
from snath.quantities.shipped import shipped_text

When = Literal["before a hand goes near", "before it runs", "before it is set", "for the record"]
RUNS: When = "before it runs"
SETS: When = "before it is set"
NOT_A_MANUAL = Message("checks.not-a-manual")


@dataclass(frozen=True, slots=True)
class Check:
    """One check, with the caution that goes with it.

    Attributes
    ----------
    id : str
    name, text, caution : Message
        `name` is what is said of it in a line, `text` what is looked at.
    when : str
        The list it belongs to, one of `When`.
    source, standing : str
        How it is known.
    machines, movers, governors, members : tuple of str
        Where it applies; empty does not narrow.
    """

    id: str
    when: When
    name: Message
    text: Message
    caution: Message
    source: str
    standing: str
    machines: tuple[str, ...] = ()
    movers: tuple[str, ...] = ()
    governors: tuple[str, ...] = ()
    members: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Checked:
    """One check with its mark; what a tick answered as a whole is done."""

    check: Check
    state: State
    note: str
    put_right: str = ""
    by: str = ""

    @property
    def blocks(self) -> bool:
        """Whether it is a fault that nobody has put right."""
        return self.state == "fault" and not self.put_right.strip()


@dataclass(frozen=True, slots=True)
class ChecklistResult:
    """The list for this machine.

    Attributes
    ----------
    items : tuple of Checked
        In the order of the work.
    blocking : tuple of Message
        Faults that are not put right, each by name and note: nothing passes and nothing is set.
    answered : tuple of str
        Stages before which the machine was checked: its whole list "before it runs" is answered.
    open_before_setting : tuple of Message
        Texts of what is still open and comes before any setting.
    may_set : bool
    outcome : Message or None
        Why it is not adjustable here.
    notes : tuple of Message
    """

    items: tuple[Checked, ...]
    blocking: tuple[Message, ...]
    answered: tuple[StageName, ...]
    open_before_setting: tuple[Message, ...]
    may_set: bool
    outcome: Message | None
    notes: tuple[Message, ...]


@cache
def checks() -> tuple[Check, ...]:
    """All checks, in the order of the work."""
    rows: list[dict[str, Any]] = [
        {k: tuple(v) if isinstance(v, list) else v for k, v in row.items()} for row in _data()["check"]
    ]
    every = (Check(**(row | _words(row["id"]))) for row in rows)
    return tuple(sorted(every, key=lambda check: get_args(When).index(check.when)))


def _words(check: str) -> dict[str, Any]:
    return {part: term("check", f"{check}-{part}") for part in ("name", "text", "caution")}


@cache
def not_adjustable() -> dict[str, Message]:
    """Reasons why a governor is not set here, by id."""
    return {row["id"]: term("not-adjustable", row["id"]) for row in _data()["not_adjustable"]}


def checklist(machine: Machine, given: ChecklistInput) -> ChecklistResult:
    """The checks for this machine with their marks.

    Raises
    ------
    InputError
        If a mark names a check or a state there is not, puts a fault right without what or without whom, or the
        reason is unknown.
    """
    marks = {mark.check: mark for mark in given.marks}
    _refuse_unknown(given)
    here = [check for check in checks() if applies(check, machine)]
    items = tuple(_checked(check, marks.get(check.id), given) for check in here)
    elsewhere = tuple(
        _checked(check, marks[check.id], given)
        for check in checks()
        if check not in here and check.id in marks and marks[check.id].state == "fault"
    )
    items = (*items, *elsewhere)  # a fault that was put down is not lost with the part it was found on
    answered = tuple(
        stage
        for stage in get_args(StageName)
        if all(_answered(marks.get(check.id), stage, given) for check in here if check.when == RUNS)
    )
    blocking = tuple(_fault(item) for item in items if item.blocks)
    waiting = tuple(item.check.text for item in items if _waits(item, answered))
    outcome = not_adjustable()[given.not_adjustable] if given.not_adjustable else None
    return ChecklistResult(
        items=items,
        blocking=blocking,
        answered=answered,
        open_before_setting=waiting,
        may_set=not (waiting or blocking or outcome),
        outcome=outcome,
        notes=(NOT_A_MANUAL,),
    )


def applies(check: Check, machine: Machine) -> bool:
    """Whether this machine is one the check speaks of."""
    engine, kinds = machine.engine, {member.kind for member in machine.members}
    narrowed = (
        (check.machines, {machine.kind}),
        (check.movers, {engine.prime_mover}),
        (check.governors, {engine.governor}),
        (check.members, kinds),
    )
    return all(not wanted or not found.isdisjoint(wanted) for wanted, found in narrowed)


def _checked(check: Check, mark: Mark | None, given: ChecklistInput) -> Checked:
    if mark is None:
        ticked = check.when == RUNS and bool(given.in_order)
        return Checked(check, "done" if ticked else "open", "")
    return Checked(check, mark.state, mark.note, mark.put_right, mark.by)


def _answered(mark: Mark | None, stage: StageName, given: ChecklistInput) -> bool:
    """A mark of its own counts before the tick of the stage."""
    return stage in given.in_order if mark is None else mark.state != "open"


def _waits(item: Checked, answered: tuple[StageName, ...]) -> bool:
    """Whether a setting waits for it: what sets it up, and what must be looked at before it runs at all."""
    return item.state == "open" and (item.check.when == SETS or (item.check.when == RUNS and not answered))


def _fault(item: Checked) -> Message:
    return Message("checks.fault", check=item.check.name, note=item.note) if item.note else item.check.name


def blocking_words(found: ChecklistResult) -> tuple[Message, ...]:
    """A message for each fault that blocks."""
    return tuple(Message("checks.blocks", fault=fault) for fault in found.blocking)


def _refuse_unknown(given: ChecklistInput) -> None:
    known, states, stages = [check.id for check in checks()], get_args(State), get_args(StageName)
    for mark in given.marks:
        if mark.check not in known:
            raise InputError("check", mark.check, Message("fault.one-of", known=tuple(known)))
        if mark.state not in states:
            raise InputError(mark.check, mark.state, Message("fault.one-of", known=states))
        if bool(mark.put_right.strip()) != bool(mark.by.strip()):
            if mark.by.strip():
                raise InputError(f"{mark.check}.put_right", "nothing", Message("checks.say-what"))
            raise InputError(f"{mark.check}.by", "nothing", Message("checks.say-who"))
    for stage in given.in_order:
        if stage not in stages:
            raise InputError("in_order", stage, Message("fault.one-of", known=stages))
    if given.not_adjustable and given.not_adjustable not in not_adjustable():
        allowed = Message("fault.one-of", known=tuple(not_adjustable()))
        raise InputError("outcome", given.not_adjustable, allowed)


def _data() -> dict[str, list[dict[str, Any]]]:
    text = shipped_text("snath.decisions.behaviour", "checklist.toml")
    return tomllib.loads(text)
