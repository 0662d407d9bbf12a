"""List jobs, machines and the fleet for another program, 100 at a time."""

import json
from dataclasses import dataclass
from typing import Any

from snath.shop.answers.fleet import FleetRow
from snath.shop.answers.speeds import floor_rpm, tenth_rpm
from snath.shop.bench.fleet.kept import asked_now, machine_of, worked_by
from snath.shop.bench.fleet.views import BY_DATE
from snath.shop.fleet.worked import Asked, blank
from snath.shop.records.fleet import FleetEntry
from snath.shop.records.models import JobRecord, MachineRecord
from snath.shop.site.api.asker import Asker
from snath.shop.site.api.schemas import FleetListed, JobsListed, MachinesListed

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


@dataclass(frozen=True)
class FleetListAnswer:
    """Rows of the fleet by the day each is due, those that are due at once first.

    Attributes
    ----------
    today : str
        The day by which they are due (ISO 8601).
    rows : tuple of FleetRow
        A machine that was not yet worked by the book and the program as they are now has no figures.
    """

    today: str
    rows: tuple[FleetRow, ...]


def jobs(asker: Asker, asked: JobsListed) -> JobsAnswer:
    """Those after a number."""
    del asker
    rows = JobRecord.objects.select_related("machine").filter(number__gt=asked.after).order_by("number")
    return JobsAnswer(tuple(map(listed_job, rows[:A_PAGE])))


def machines(asker: Asker, asked: MachinesListed) -> MachinesAnswer:
    """Those after so many."""
    del asker
    rows = MachineRecord.objects.select_related("fleet").order_by("created_at", "pk")
    now = worked_by(asked_now())
    return MachinesAnswer(tuple(_machine(row, now) for row in rows[asked.after : asked.after + A_PAGE]))


def fleet(asker: Asker, asked: FleetListed) -> FleetListAnswer:
    """Those after so many, by the day they are due."""
    del asker
    rows = FleetEntry.objects.select_related("machine", "machine__customer").order_by(*BY_DATE)
    by = asked_now()
    return FleetListAnswer(
        by.today, tuple(_row(entry, by) for entry in rows[asked.after : asked.after + A_PAGE])
    )


def listed_job(row: JobRecord) -> ListedJob:
    """One job, as a list has it."""
    return ListedJob(
        number=row.number,
        machine=str(row.machine_id) if row.machine_id else None,
        name=row.machine.name if row.machine else row.title,
        serial=row.machine.serial if row.machine else "",
        waits_for=row.waits_for,
        verdict=None if row.stale else row.verdict or None,  # as every list: no word of another program
        as_found_rpm=tenth_rpm(row.as_found_rev_s),
        as_left_rpm=tenth_rpm(row.as_left_rev_s),
        ceiling_rpm=floor_rpm(row.ceiling),
    )


def _machine(row: MachineRecord, now: str) -> ListedMachine:
    entry: FleetEntry | None = getattr(row, "fleet", None)
    worked = entry if entry and entry.worked_by == now else None  # as every list: no word of another program
    return ListedMachine(
        id=str(row.pk),
        name=row.name,
        serial=row.serial,
        kind=row.kind,
        number=entry.number if entry else "",
        read_on=entry.read_on.isoformat() if entry and entry.read_on else None,
        due_on=entry.due_on.isoformat() if entry and entry.due_on else None,
        shut=worked.shut if worked else None,
        over=worked.over if worked else None,
    )


def _row(entry: FleetEntry, by: Asked) -> FleetRow:
    row: dict[str, Any] = json.loads(entry.row) if entry.row and entry.worked_by == worked_by(by) else {}
    due_on = entry.due_on.isoformat() if entry.due_on else ""
    named = {"machine": entry.machine.name, "serial": entry.machine.serial, "kind": entry.machine.kind}
    due = {"due_on": due_on, "due": due_on <= by.today}  # by today, not by the day it was worked
    return FleetRow(**{**blank(machine_of(entry), by), **named, **row, **due})
