"""Who did what, as a chain of its own, in which rows that may change leave a mark each time they do.

An entry's hash covers what it says and the hash of the entry before it, as with versions (`chain`). Rows that may be
changed through the program, such as an instrument's next date, note the SHA-256 of what they hold from then on: a row
that no longer has the newest hash noted for it was changed past the program.
"""

import hashlib
from collections.abc import Iterator
from typing import Any

from django.db import models, transaction
from django.utils import timezone

from snath.shop.records import rows
from snath.shop.records.chain import Break, moment, sealed
from snath.shop.records.jobs import Attachment, ChainHead, JobRecord
from snath.shop.records.people import AuditEntry
from snath.shop.records.readable import UNREADABLE, Damaged, readable
from snath.shop.records.shop import InstrumentRecord, ShopRule

NOTED: dict[type[models.Model], tuple[str, ...]] = {  # which columns of which rows; none named: all
    InstrumentRecord: (),
    ShopRule: (),
    Attachment: (),
    JobRecord: ("id", "number", "machine_id", "customer_id", "title"),
}
KEPT = "kept"  # what an entry says that only notes a row


@transaction.atomic
def note(
    who: str, did: str, what: object = "", digest: str = "", *, head: ChainHead | None = None
) -> AuditEntry:
    """Add an entry at the end of the log; whoever holds the end of the chains already hands it over."""
    head = head or end_of_chain()
    added = AuditEntry(
        at=timezone.now(), who=who, did=did, what=str(what)[:200], digest=digest, prev_hash=head.log_hash
    )
    added.hash = hash_of_entry(added)
    added.save()
    head.log_hash = added.hash
    ChainHead.objects.filter(pk=head.pk).update(log_hash=added.hash)
    return added


def end_of_chain() -> ChainHead:
    """The row in which both chains end, held until this transaction ends, so that there is one order of waiting."""
    return ChainHead.objects.select_for_update().filter(pk=1).first() or ChainHead.objects.create(pk=1)


def hash_of_entry(entry: AuditEntry) -> str:
    """SHA-256 over everything an entry says, and over the hash before it."""
    return sealed(entry.prev_hash, moment(entry.at), entry.who, entry.did, entry.what, entry.digest)


def note_row(sender: type[models.Model], instance: models.Model, **signal: Any) -> None:
    """Note what a row holds now that it was saved."""
    columns, saved = NOTED[sender], signal.get("update_fields")
    if signal.get("raw") or signal.get("using", "default") != "default":
        return
    if columns and saved is not None and not set(columns) & set(saved):
        return
    note("", KEPT, name_of(instance), digest_of(sender._default_manager.get(pk=instance.pk)))


def name_of(row: models.Model) -> str:
    """A row by its table and its key."""
    return f"{row._meta.model_name} {row.pk}"


def digest_of(stored: models.Model) -> str:
    """SHA-256 over the columns that are noted of a row as it was read, as an export writes them."""
    columns = NOTED[type(stored)]
    data = {
        name: value
        for name, value in rows.row_of(stored, secrets=False).items()
        if not columns or name in columns
    }
    return hashlib.sha256(rows.line_of(stored._meta.model_name or "", data).encode()).hexdigest()


class LogCheck:
    """Goes through the log once: where it breaks, how much of it is older than the chain, and what rows should hold."""

    def __init__(self, using: str = "default") -> None:
        self.breaks: list[Break] = []
        self.proved = self.older = 0
        self.digests: dict[str, str] = {}
        before = ""
        for entry in readable(AuditEntry, using):
            if isinstance(entry, Damaged):
                self.breaks.append(Break(self.proved, f"an entry cannot be read ({entry.key}: {entry.what})"))
                continue
            assert isinstance(entry, AuditEntry)
            if not entry.hash and not self.proved:
                self.older += 1
                continue
            self.proved += 1
            if entry.hash != hash_of_entry(entry):
                self.breaks.append(Break(entry.pk, "was changed after it was noted"))
            elif entry.prev_hash != before:
                self.breaks.append(Break(entry.pk, "does not follow the entry noted before it"))
            if entry.did == KEPT:
                self.digests[entry.what] = entry.digest
            before = entry.hash
        head = ChainHead.objects.using(using).first()
        if (head.log_hash if head else "") != before:
            self.breaks.append(Break(self.proved, "the newest entries are missing"))


def changed_rows(log: LogCheck) -> Iterator[str]:
    """Rows that do not hold what was last noted of them, and noted rows that are gone."""
    left = dict(log.digests)
    for model in NOTED:
        for row in readable(model, "default"):
            if isinstance(row, Damaged):
                continue
            noted = left.pop(name_of(row), None)
            if noted is not None and noted != digest_of(row):
                yield f"{name_of(row)} was changed past the program"
            elif not _found_by_key(row):
                yield f"{name_of(row)} is not found by its key"
    for name in left:
        yield f"{name} was taken out past the program"


def _found_by_key(row: models.Model) -> bool:
    """Whether a row that was met where it lies is found by its key, too; a damaged key or index loses it."""
    try:
        return type(row)._default_manager.filter(pk=row.pk).exists()
    except UNREADABLE:
        return False


def rows_noted(log: LogCheck) -> tuple[int, int]:
    """How many rows are noted, and how many are older than that."""
    total = sum(model._default_manager.count() for model in NOTED)
    return len(log.digests), max(0, total - len(log.digests))
