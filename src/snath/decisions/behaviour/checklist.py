"""Which checks belong to this speed job, which are open, and may anything be set yet?"""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, Literal, get_args

from snath.decisions.machine.parts import Machine
from snath.quantities.errors import InputError

State = Literal["open", "done", "fault", "does not apply"]
NOT_A_MANUAL = "This list stands beside the maker's manual, never in its place."
GROUPS = ("first", "governor", "blade", "drive", "guards", "stop")


@dataclass(frozen=True, slots=True)
class Check:
    """One check, with the caution that goes with it.

    Attributes
    ----------
    id, group, text, caution : str
    before_setting : bool
        Must be settled before any setting advice.
    source, standing : str
        How it is known.
    machines, governors : tuple of str
        Where it applies; empty does not narrow.
    """

    id: str
    group: str
    text: str
    caution: str
    before_setting: bool
    source: str
    standing: str
    machines: tuple[str, ...] = ()
    governors: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Mark:
    """What the bench put down for one check."""

    check: str
    state: State
    note: str = ""


@dataclass(frozen=True, slots=True)
class ChecklistInput:
    """The marks of a job, and why it can't be set here, if so.

    Attributes
    ----------
    marks : tuple of Mark
    not_adjustable : str
        Id of the reason why nothing can be set here; empty where it can.
    seals : str
        Seals, limiter caps and warranty, as found.
    """

    marks: tuple[Mark, ...] = ()
    not_adjustable: str = ""
    seals: str = ""


@dataclass(frozen=True, slots=True)
class Checked:
    """One check with its mark."""

    check: Check
    state: State
    note: str


@dataclass(frozen=True, slots=True)
class ChecklistResult:
    """The list for this machine.

    Attributes
    ----------
    items : tuple of Checked
        In bench order.
    open_before_setting : tuple of str
        Texts of what is still open or faulty and comes before any setting.
    may_set : bool
    outcome : str
        "", or why it is not adjustable here.
    notes : tuple of str
    """

    items: tuple[Checked, ...]
    open_before_setting: tuple[str, ...]
    may_set: bool
    outcome: str
    notes: tuple[str, ...]


@cache
def checks() -> tuple[Check, ...]:
    """All checks, in bench order."""
    lists = ("machines", "governors")
    rows: list[dict[str, Any]] = [
        {k: tuple(v) if k in lists else v for k, v in row.items()} for row in _data()["check"]
    ]
    return tuple(sorted((Check(**row) for row in rows), key=lambda check: GROUPS.index(check.group)))


@cache
def not_adjustable() -> dict[str, str]:
    """Reasons why a governor is not set here, by id."""
    return {row["id"]: row["text"] for row in _data()["not_adjustable"]}


def checklist(machine: Machine, given: ChecklistInput) -> ChecklistResult:
    """The checks for this machine with their marks.

    Raises
    ------
    InputError
        If a mark names a check or a state there is not, or the reason is unknown.
    """
    marks = {mark.check: mark for mark in given.marks}
    _refuse_unknown(given, marks)
    items = []
    for check in checks():
        if _applies(check, machine):
            mark = marks.get(check.id, Mark(check.id, "open"))
            items.append(Checked(check, mark.state, mark.note))
    waiting = tuple(i.check.text for i in items if i.check.before_setting and i.state in ("open", "fault"))
    outcome = not_adjustable()[given.not_adjustable] if given.not_adjustable else ""
    return ChecklistResult(
        items=tuple(items),
        open_before_setting=waiting,
        may_set=not waiting and not outcome,
        outcome=outcome,
        notes=(NOT_A_MANUAL,),
    )


def _applies(check: Check, machine: Machine) -> bool:
    if check.machines and machine.kind not in check.machines:
        return False
    return not check.governors or machine.engine.governor in check.governors


def _refuse_unknown(given: ChecklistInput, marks: dict[str, Mark]) -> None:
    known = {check.id for check in checks()}
    for id, mark in marks.items():
        if id not in known:
            raise InputError("check", id, f"must be one of {', '.join(sorted(known))}")
        if mark.state not in get_args(State):
            raise InputError(id, mark.state, f"must be one of {', '.join(get_args(State))}")
    if given.not_adjustable and given.not_adjustable not in not_adjustable():
        raise InputError("outcome", given.not_adjustable, f"must be one of {', '.join(not_adjustable())}")


def _data() -> dict[str, list[dict[str, Any]]]:
    text = files("snath.decisions.behaviour").joinpath("checklist.toml").read_text("utf-8")
    return tomllib.loads(text)
