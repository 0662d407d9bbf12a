"""A fleet's machines in the shop's records: taken in from a table, and worked through a few at a time."""

import json
import time
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from hashlib import sha256
from importlib.metadata import version
from typing import Any
from uuid import uuid4

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext_noop

from snath.decisions.job.job import Job
from snath.decisions.job.schema import job_from_json
from snath.quantities.errors import InputErrors
from snath.shop.bench.fleet.replaced import Taking
from snath.shop.bench.jobs.start import with_sheet
from snath.shop.fleet.machine import FleetMachine
from snath.shop.fleet.moved import moves_of
from snath.shop.fleet.worked import Asked, Task, row_of
from snath.shop.records.fleet import FleetEntry
from snath.shop.records.models import Customer, EarlierSheet, JobVersion, MachineRecord, Person, ShopRule
from snath.shop.records.search import index
from snath.shop.records.store import audit, shop_settings

ENTRY = [field.name for field in FleetEntry._meta.concrete_fields if not field.primary_key]
AT_ONCE, MOST_S = 100, 0.8  # machines, seconds of one step


@dataclass(frozen=True, slots=True)
class Taken:
    """How many machines a table put on the shelf, on how many it put something new, and how many stay as they were."""

    new: int
    changed: int
    same: int


def asked_now() -> Asked:
    """By what this shop works a fleet today."""
    rows = ShopRule.objects.filter(in_force=True).order_by("rule_id").values_list("text", flat=True)
    return Asked(timezone.localdate().isoformat(), rules="\n".join(rows), market=shop_settings().market)


def worked_by(asked: Asked) -> str:
    """Program and book in a word: what was worked by another may say otherwise now."""
    return f"{version('snath')} {_book_mark(asked.rules, asked.market)}"


@lru_cache(maxsize=4)
def _book_mark(rules: str, market: str) -> str:
    shipped = repr(Asked("").book)
    return sha256(f"{shipped}\n{rules}\n{market}".encode()).hexdigest()[:16]


@transaction.atomic
def take_in(takings: Sequence[Taking], who: Person) -> Taken:
    """Put machines on the shelf, and their new sheets on those that stand there; what is the same is left alone."""
    customers = {one.name: one for one in Customer.objects.filter(erased_at=None).exclude(name="")}
    wanted = {one.kept.customer for one in takings if one.kept.customer} - customers.keys()
    made = Customer.objects.bulk_create([Customer(name=name) for name in sorted(wanted)])
    customers |= {one.name: one for one in made}
    new: list[MachineRecord] = []
    old: list[MachineRecord] = []
    entries: list[FleetEntry] = []
    EarlierSheet.objects.bulk_create((kept for one in takings if (kept := one.earlier)), batch_size=500)
    for one in takings:
        if one.record is not None and not one.changes:
            continue
        record = one.record or MachineRecord(id=uuid4())
        with_sheet(record, one.machine, one.sheet, customer=customers.get(one.kept.customer))
        (old if one.record else new).append(record)
        one.entry.machine = record
        entries.append(one.entry)
    MachineRecord.objects.bulk_create(new, batch_size=500)
    columns = ["name", "kind", "serial", "earlier_serials", "engine_code", "sheet", "customer"]
    MachineRecord.objects.bulk_update(old, columns, batch_size=200)
    FleetEntry.objects.bulk_create(
        entries, update_conflicts=True, unique_fields=["machine"], update_fields=ENTRY, batch_size=500
    )
    for at in range(0, len(new) + len(old), 500):
        index((*new, *old)[at : at + 500])
    index(made)
    audit(who, gettext_noop("took in a fleet"), f"{len(new)} new, {len(old)} anew")
    return Taken(len(new), len(old), len(takings) - len(entries))


def to_work(asked: Asked) -> QuerySet[FleetEntry]:
    """Machines that were not worked by today's book and program."""
    return FleetEntry.objects.exclude(worked_by=worked_by(asked))


def begin() -> None:
    """Make every machine of the shelf with a sheet one of the list, and forget what moved the last time."""
    missing = MachineRecord.objects.filter(fleet=None).exclude(sheet="")
    FleetEntry.objects.bulk_create((FleetEntry(machine=one) for one in missing), batch_size=500)
    FleetEntry.objects.exclude(moved="").update(moved="")


def work_some(asked: Asked) -> int:
    """Work a few machines; returns how many are left."""
    began, mark = time.monotonic(), worked_by(asked)
    for entry in to_work(asked).select_related("machine", "machine__customer")[:AT_ONCE]:
        _work(entry, asked, mark)
        if time.monotonic() - began > MOST_S:
            break
    return to_work(asked).count()


def _work(entry: FleetEntry, asked: Asked, mark: str) -> None:
    row = row_of(Task(machine_of(entry), asked, _job(entry)))
    if entry.row:
        row |= moves_of(row, json.loads(entry.row))
        entry.moved = str(row["moved"])[:60]
    entry.row, entry.worked_by = json.dumps(row, ensure_ascii=False)[:20_000], mark
    entry.shut, entry.over = row["shut"], row["over"]
    entry.save()


def machine_of(entry: FleetEntry) -> FleetMachine:
    """The machine of an entry, as its table had it."""
    typed: dict[str, Any] = json.loads(entry.reading) if entry.reading else {}
    return FleetMachine(
        str(entry.machine),
        entry.machine.sheet,
        number=entry.number,
        customer=entry.machine.customer.name if entry.machine.customer else "",
        read_on=entry.read_on.isoformat() if entry.read_on else "",
        due_on=entry.due_on.isoformat() if entry.due_on else "",
        every=entry.every,
        **typed,
    )


def _job(entry: FleetEntry) -> Job | None:
    """The job in which the machine was read last; None where the table's own reading is its last, or there is none."""
    if entry.reading:
        return None
    newest = (
        JobVersion.objects.filter(job__machine_id=entry.pk)
        .exclude(job__as_found_rev_s=None, job__as_left_rev_s=None)
        .order_by("-sequence")
        .first()
    )
    try:
        return job_from_json(newest.job_json) if newest else None
    except InputErrors:
        return None
