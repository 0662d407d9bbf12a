"""Save work as a new version or not at all, never over somebody else's."""

import json
from dataclasses import asdict, dataclass
from datetime import datetime, timedelta
from functools import lru_cache
from importlib.metadata import version as installed_version
from typing import Any
from uuid import UUID, uuid4

from django.db import transaction
from django.db.models import Max
from django.utils import timezone
from django.utils.translation import gettext_noop

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.records.chain import hash_of, verify_chain
from snath.shop.records.due import read_again
from snath.shop.records.facts import facts_of, touches_of
from snath.shop.records.jobs import FROM_YARD, ChainHead, Draft, JobRecord, JobTouch, JobVersion, Waits
from snath.shop.records.log import end_of_chain
from snath.shop.records.log import note as note_entry
from snath.shop.records.machines import Customer, MachineRecord
from snath.shop.records.people import AuditEntry, Person
from snath.shop.records.shop import ShopSettings
from snath.shop.records.unchanged import unchanged

__all__ = [
    "Closed",
    "Conflict",
    "DamagedVersion",
    "Mine",
    "audit",
    "drop_draft",
    "kept_draft",
    "open_job",
    "save_draft",
    "save_version",
    "shop_settings",
    "shop_units",
    "verify_chain",
]


LONGEST_JOB = 2_000_000  # characters: two thousand readings of one machine
MOST_DRAFTS, ABANDONED = 300, timedelta(days=60)  # forms of one person that are begun and not saved


@dataclass(frozen=True, slots=True)
class Mine:
    """What the second of two savers wanted to keep; it is in their hands still."""

    job_json: str
    result_json: str
    note: str
    expected_version: int


class Closed(RuntimeError):
    """This database is kept as it was: the shop works in another one now."""


class DamagedVersion(RuntimeError):
    """A saved version cannot be read: which one."""


class Conflict(Exception):
    """Somebody else saved this job first: nothing was kept, both states are here to choose from.

    To keep `mine` after all, save it again with `expected_version=theirs.version`.
    """

    def __init__(self, mine: Mine, theirs: JobVersion) -> None:
        self.mine = mine
        self.theirs = theirs
        super().__init__(
            f"{theirs.who} saved version {theirs.version} of this job first; nothing was overwritten"
        )


def shop_settings() -> ShopSettings:
    """The one row of what this shop is asked once."""
    return unchanged(("shop settings",), lambda: ShopSettings.objects.get_or_create(pk=1)[0])


@lru_cache(maxsize=1)
def shop_units() -> str:
    """In which the shop counts lengths, empty until it has said; looked up once, and again when the shop is saved."""
    return unchanged(("units",), _units)


def _units() -> str:
    return ShopSettings.objects.filter(pk=1).values_list("units", flat=True).first() or ""


def audit(who: Person, did: str, what: object = "") -> AuditEntry:
    """Note who did what, now."""
    return note_entry(who.name, did, what)


@transaction.atomic
def open_job(
    who: Person,
    *,
    machine: MachineRecord | None = None,
    customer: Customer | None = None,
    title: str = "",
    id: UUID | None = None,
    at: datetime | None = None,
) -> JobRecord:
    """A new job with the next number and no version yet; `at` where it was opened at another moment than now."""
    _lock()
    now = at or timezone.now()
    highest = JobRecord.objects.aggregate(highest=Max("number"))["highest"] or 0
    record = JobRecord.objects.create(
        id=id or uuid4(),
        number=highest + 1,
        machine=machine,
        customer=customer or (machine.customer if machine else None),
        title=title,
        opened_at=now,
        changed_at=now,
    )
    audit(who, gettext_noop("opened job"), record.number)
    return record


@transaction.atomic
def save_version(
    job_record: JobRecord,
    job_json: str,
    result_json: str,
    expected_version: int,
    who: Person,
    *,
    note: str = "",
    waits_for: str = Waits.READING,
    at: datetime | None = None,
) -> JobVersion:
    """Add a version to a job.

    Parameters
    ----------
    job_record : JobRecord
        The job; brought up to date in place.
    job_json, result_json : str
        The texts of `job_to_json` and `result_to_json`, kept byte for byte.
    expected_version : int
        The version this work started from; 0 for a job without one.
    who : Person
        Who saves.
    note : str
        Why, in a few words.
    waits_for : str
        What the job waits for from now on, one of `Waits`.
    at : datetime or None
        When it was done, where that was not now.

    Raises
    ------
    Conflict
        If the job has got another version meanwhile.
    InputError
        If the job is far longer than a shop writes: every version keeps the whole, and every page works it out.
    """
    if len(job_json) > LONGEST_JOB:
        raise InputError("job", job_json, Message("fault.characters", most=LONGEST_JOB))
    head = _lock()
    current = JobRecord.objects.select_for_update().get(pk=job_record.pk)
    if current.version != expected_version:
        theirs = current.versions.get(version=current.version)
        raise Conflict(Mine(job_json, result_json, note, expected_version), theirs)
    added = JobVersion(
        sequence=head.sequence + 1,
        job=current,
        version=expected_version + 1,
        job_json=job_json,
        result_json=result_json,
        program=installed_version("snath"),
        who=who.name,
        at=at or timezone.now(),
        note=note,
        prev_hash=head.hash,
    )
    added.hash = hash_of(added)
    added.save()
    ChainHead.objects.filter(pk=head.pk).update(sequence=added.sequence, hash=added.hash)
    _bring_up_to_date(job_record, added, waits_for)
    note_entry(who.name, gettext_noop("saved job"), f"{current.number} version {added.version}", head=head)
    return added


def _bring_up_to_date(job_record: JobRecord, added: JobVersion, waits_for: str) -> None:
    """What lists and searches know of a job follows its newest version."""
    held_for = job_record.held_for if waits_for else ""
    columns = {"version": added.version, "changed_at": added.at, "held_for": held_for}
    columns["waits_for"] = held_for or waits_for
    columns |= asdict(facts_of(added.job_json, added.result_json)) | {"worked_by": added.program}
    read_before = job_record.as_found_rev_s, job_record.as_left_rev_s
    for column, value in columns.items():
        setattr(job_record, column, value)
    job_record.save(update_fields=list(columns))
    JobTouch.objects.bulk_create(
        [JobTouch(job=job_record, kind=kind, key=key) for kind, key in touches_of(added.job_json)],
        ignore_conflicts=True,
    )
    if (job_record.as_found_rev_s, job_record.as_left_rev_s) != read_before:
        read_again(job_record, added.job_json)


def _lock() -> ChainHead:
    """The end of the chain, held until this transaction ends."""
    head = end_of_chain()
    if head.closed:
        raise Closed(head.closed)
    return head


@transaction.atomic
def save_draft(who: Person, key: str, fields: dict[str, Any]) -> bool:
    """Keep a form as typed so far; False where that person has begun so many others that no further one is kept.

    What nobody has touched for long makes room first; entries from the yard wait until somebody files them.
    """
    now, typed = timezone.now(), json.dumps(fields)
    mine = Draft.objects.filter(person=who).exclude(key__startswith=FROM_YARD)
    if not mine.filter(key=key).exists() and mine.count() >= MOST_DRAFTS:
        mine.filter(changed_at__lt=now - ABANDONED).delete()
        if mine.count() >= MOST_DRAFTS:
            return False
    Draft.objects.update_or_create(person=who, key=key, defaults={"fields": typed, "changed_at": now})
    return True


def kept_draft(who: Person, key: str) -> dict[str, Any]:
    """The form as last typed; empty when there is no draft."""
    draft = Draft.objects.filter(person=who, key=key).first()
    fields: dict[str, Any] = json.loads(draft.fields) if draft else {}
    return fields


def drop_draft(who: Person, key: str) -> None:
    """Forget a draft once its form has been saved."""
    Draft.objects.filter(person=who, key=key).delete()
