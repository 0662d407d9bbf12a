"""List jobs and machines for another program, 100 at a time."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest

from snath.quantities.errors import InputError
from snath.shop.answers.speeds import floor_rpm, tenth_rpm
from snath.shop.records.models import JobRecord, MachineRecord

A_PAGE = 100


@dataclass(frozen=True)
class ListedJob:
    """One job, as the bench's own list has it.

    Attributes
    ----------
    number : int
        By which the shop calls it, and after which a list goes on.
    machine : str or None
        Id of its machine, where it has one.
    name, serial : str
        What the machine is called; the job's title where it has none.
    waits_for : str
        What it waits for.
    verdict : str or None
        Its word; None where it has none, or has to be worked again first.
    as_found_rpm, as_left_rpm : float or None
        What was read. [rpm]
    ceiling_rpm : int or None
        Never above it, rounded down. [rpm]
    """

    number: int
    machine: str | None
    name: str
    serial: str
    waits_for: str
    verdict: str | None
    as_found_rpm: float | None
    as_left_rpm: float | None
    ceiling_rpm: int | None


@dataclass(frozen=True)
class JobsAnswer:
    """Jobs by their number."""

    jobs: tuple[ListedJob, ...]


@dataclass(frozen=True)
class ListedMachine:
    """One machine.

    Attributes
    ----------
    id, name, serial, kind : str
        Which, and of what kind.
    number : str
        The shop's own number for it.
    read_on, due_on : str or None
        Day it was last read and day it is due (ISO 8601).
    shut, over : bool or None
        Whether no speed will do, and whether it was read over its limit; None where that was never worked.
    """

    id: str
    name: str
    serial: str
    kind: str
    number: str
    read_on: str | None
    due_on: str | None
    shut: bool | None
    over: bool | None


@dataclass(frozen=True)
class MachinesAnswer:
    """Machines in the order in which they came."""

    machines: tuple[ListedMachine, ...]


def jobs(request: HttpRequest) -> JobsAnswer:
    """Those after a number."""
    rows = JobRecord.objects.select_related("machine").filter(number__gt=_after(request)).order_by("number")
    return JobsAnswer(tuple(map(_job, rows[:A_PAGE])))


def machines(request: HttpRequest) -> MachinesAnswer:
    """Those after so many."""
    after = _after(request)
    rows = MachineRecord.objects.select_related("fleet").order_by("created_at", "pk")
    return MachinesAnswer(tuple(map(_machine, rows[after : after + A_PAGE])))


def _job(row: JobRecord) -> ListedJob:
    return ListedJob(
        number=row.number,
        machine=str(row.machine_id) if row.machine_id else None,
        name=row.machine.name if row.machine else row.title,
        serial=row.machine.serial if row.machine else "",
        waits_for=row.waits_for,
        verdict=None if row.stale else row.verdict or None,  # as every list: no word of another program
        as_found_rpm=tenth_rpm(row.as_found_rev_s),
        as_left_rpm=tenth_rpm(row.as_left_rev_s),
        ceiling_rpm=floor_rpm(row.ceiling_rev_s),
    )


def _machine(row: MachineRecord) -> ListedMachine:
    entry: Any = getattr(row, "fleet", None)
    return ListedMachine(
        id=str(row.pk),
        name=row.name,
        serial=row.serial,
        kind=row.kind,
        number=entry.number if entry else "",
        read_on=entry.read_on.isoformat() if entry and entry.read_on else None,
        due_on=entry.due_on.isoformat() if entry and entry.due_on else None,
        shut=entry.shut if entry else None,
        over=entry.over if entry else None,
    )


def _after(request: HttpRequest) -> int:
    text = request.GET.get("after", "0")
    if not (text.isascii() and text.isdecimal() and len(text) < 10):
        raise InputError("after", text, "must be a whole number from 0")
    return int(text)
