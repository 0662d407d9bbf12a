"""How a job begins: a machine from the shelf, the rules that hold for it, and a first version."""

from dataclasses import replace
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext

from snath.decisions.job.assemble import job_for
from snath.decisions.job.job import Job
from snath.decisions.machine.parts import Coupling, Machine
from snath.decisions.window.solve import DecisionRule
from snath.shop.bench.jobs.kept import keep
from snath.shop.bench.rulebook import shop_book
from snath.shop.records.models import Customer, EarlierSheet, JobRecord, MachineRecord, Person
from snath.shop.records.store import open_job, shop_settings

EARLIER_MOST = 400  # characters of serial numbers it once went by


def fresh_job(machine: Machine) -> Job:
    """A job without readings, under the rules and habits of this shop as they are now.

    Its own words keep the decimal point, whoever opens it: each reader's mark is put in where they read.
    """
    settings = shop_settings()
    decision: DecisionRule = settings.decision  # type: ignore[assignment]
    job = job_for(machine, shop_book(), market=settings.market)
    return replace(job, decision=decision)


def on_new_machine(job: Job, machine: Machine) -> Job:
    """The same job with the machine as its sheet says now, and the rules that hold for it.

    A drive that was exchanged after a reading as found stays beside it, so that what was found is judged
    with the drive it was found with.
    """
    fresh = job_for(machine, shop_book(), market=job.market, only=job.only_rule or None)
    before = exchanged(job, machine) if job.as_found.readings else ()
    return replace(job, machine=machine, rules=fresh.rules, drive_before=before)


def only_named_otherwise(before: Machine, now: Machine) -> bool:
    """Whether nothing but what a machine is called and numbered differs: then what was signed still holds."""
    return replace(now, name=before.name, serial=before.serial) == before


def exchanged(job: Job, machine: Machine) -> tuple[Coupling, ...]:
    """Couplings the machine was found with that its new sheet has otherwise."""
    found = {coupling.driven: coupling for coupling in (*job.machine.couplings, *job.drive_before)}
    now = {coupling.driven: coupling for coupling in machine.couplings}
    return tuple(old for driven, old in found.items() if driven in now and now[driven] != old)


@transaction.atomic
def shelve(
    machine: Machine, sheet: str, *, customer: Customer | None, record: MachineRecord | None = None
) -> MachineRecord:
    """Put a machine on the shelf, or its new sheet on the one that stands there; its earlier one is kept."""
    if record is not None and record.sheet not in ("", sheet):
        EarlierSheet.objects.create(machine=record, sheet=record.sheet)
    record = with_sheet(record or MachineRecord(), machine, sheet, customer=customer)
    record.save()
    return record


def with_sheet(
    record: MachineRecord, machine: Machine, sheet: str, *, customer: Customer | None
) -> MachineRecord:
    """The record with a machine's sheet, not saved yet; it is found by its earlier serial numbers, too."""
    if record.serial not in ("", machine.serial, *record.earlier_serials.split("\n")):
        earlier = (record.serial, *record.earlier_serials.split("\n"))
        record.earlier_serials = "\n".join(one for one in earlier if one)[:EARLIER_MOST]
    record.name, record.kind, record.serial = machine.name, machine.kind, machine.serial
    record.engine_code, record.sheet = machine.engine.code, sheet
    if customer is not None:
        record.customer = customer
    return record


@transaction.atomic
def start(
    who: Person, record: MachineRecord, machine: Machine, *, id: UUID | None = None, note: str = ""
) -> JobRecord:
    """Open a job on a machine; IntegrityError where there is one of that id."""
    opened = open_job(who, machine=record, title=record.name, id=id)
    keep(opened, fresh_job(machine), base=0, who=who, note=note or gettext("opened"))
    return opened
