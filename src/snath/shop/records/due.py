"""A job that was read moves its machine's next date; its reading is then the machine's last."""

import json
from datetime import date

from django.utils import timezone

from snath.shop.fleet.days import after_months
from snath.shop.fleet.machine import USUAL_MONTHS
from snath.shop.records.fleet import FleetEntry
from snath.shop.records.jobs import JobRecord
from snath.shop.records.machines import EarlierSheet


def due_after(entry: FleetEntry) -> date | None:
    """The day by which a machine is to be read again; None for at once."""
    if entry.due_said is not None or entry.read_on is None:
        return entry.due_said
    return date.fromisoformat(after_months(entry.read_on.isoformat(), entry.every or USUAL_MONTHS))


def read_later(entry: FleetEntry, on: date | None) -> bool:
    """Whether a machine was read on a later day than this; a reading of no day is later than none."""
    return entry.read_on is not None and (on is None or entry.read_on > on)


def forget_worked(entry: FleetEntry) -> None:
    """What was worked of a machine says nothing any more of its sheet or its reading: it is to be worked again."""
    entry.shut = entry.over = None
    entry.row = entry.worked_by = ""


def read_again(job: JobRecord, job_json: str) -> None:
    """Take down that a job's machine was read, where the newest version of the job has a reading."""
    if job.machine_id is None or (job.as_left_rev_s is None and job.as_found_rev_s is None):
        return
    entry = FleetEntry.objects.filter(pk=job.machine_id).first() or FleetEntry(machine_id=job.machine_id)
    on = _judged_on(job_json) or timezone.localdate()
    if read_later(entry, on):
        return
    if entry.reading:  # what a table said of an earlier reading
        EarlierSheet.objects.create(
            machine=entry.machine, sheet=entry.machine.sheet, reading=entry.reading, read_on=entry.read_on
        )
    entry.read_on, entry.due_said, entry.reading = on, None, ""
    forget_worked(entry)
    entry.due_on = due_after(entry)
    entry.save()


def _judged_on(job_json: str) -> date | None:
    try:
        return date.fromisoformat(json.loads(job_json).get("judged_on") or "")
    except (ValueError, AttributeError, TypeError):
        return None
