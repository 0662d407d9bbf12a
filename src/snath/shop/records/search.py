"""Find the records that hold all the words somebody typed, whatever the size of the shop.

Our own table of words instead of a database's full-text search, because SQLite and PostgreSQL cut
words differently and a shop that moves must find the same records. Every step reads at most a fixed
number of rows, so 100,000 jobs cost what 1,000 do; a search too wide to finish says so.
"""

import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal
from uuid import UUID

from django.db import transaction
from django.db.models import Q

from snath.shop.records.jobs import JobRecord, SearchWord
from snath.shop.records.machines import Customer, MachineRecord

Kind = Literal["job", "machine", "customer"]
Searchable = JobRecord | MachineRecord | Customer

WORD = r"[^\W_]+"
LONGEST_TEXT, LONGEST_WORD, MOST_TERMS = 200, 40, 6
SHOWN = 50  # records on one page of results
COUNTED = 500  # how far a word is counted to find the rarest
TRIED = 2000  # candidates of the rarest word that are looked at
STEP = 200
LAST = "\U0010ffff"


@dataclass(frozen=True, slots=True)
class Found:
    """What a search brought; `complete` is False when more words are needed to see the rest."""

    records: tuple[Searchable, ...]
    complete: bool


def words_of(text: str) -> set[str]:
    """The words of a text without case and accents; "AB-123/4" counts as its pieces and as ab1234."""
    flat = _flat(text)
    words = {*re.findall(WORD, flat), *(_joined(chunk) for chunk in flat.split())}
    return {word[:LONGEST_WORD] for word in words if word}


def _flat(text: str) -> str:
    apart = unicodedata.normalize("NFKD", text.casefold())
    return "".join(c for c in apart if not unicodedata.combining(c))


def _joined(chunk: str) -> str:
    return "".join(re.findall(WORD, chunk))


def search(text: str) -> Found:
    """Records that hold a word beginning with each term of the text, the nearest first."""
    pieces = {piece[:LONGEST_WORD] for piece in re.findall(WORD, _flat(text[:LONGEST_TEXT]))}
    terms = sorted(pieces)[:MOST_TERMS]
    if not terms:
        return Found((), complete=True)
    terms.sort(key=_count)
    hits, complete = _candidates(terms)
    return Found(tuple(_records(hits)), complete)


def _begins(term: str) -> Q:
    return Q(word__gte=term, word__lt=term + LAST)


def _count(term: str) -> int:
    return SearchWord.objects.filter(_begins(term))[:COUNTED].count()


def _candidates(terms: list[str]) -> tuple[list[tuple[str, UUID]], bool]:
    """Records of the rarest term that hold the others too."""
    hits: dict[tuple[str, UUID], None] = {}
    rows = SearchWord.objects.filter(_begins(terms[0])).order_by("word", "-newest")
    for start in range(0, TRIED, STEP):
        batch = list(rows.values_list("kind", "record")[start : start + STEP])
        holding = {record for _, record in batch}
        for term in terms[1:]:
            also = SearchWord.objects.filter(_begins(term), record__in=holding)
            holding = set(also.values_list("record", flat=True))
        hits.update((row, None) for row in batch if row[1] in holding)
        if len(batch) < STEP:
            return list(hits)[:SHOWN], len(hits) <= SHOWN
        if len(hits) > SHOWN:
            break
    return list(hits)[:SHOWN], False


def _records(hits: list[tuple[str, UUID]]) -> Iterator[Searchable]:
    of_kind = {kind: [record for k, record in hits if k == kind] for kind in ("job", "machine", "customer")}
    known: dict[UUID, Searchable] = {}
    if of_kind["job"]:
        known |= JobRecord.objects.select_related("machine", "customer").in_bulk(of_kind["job"])
    if of_kind["machine"]:
        known |= MachineRecord.objects.select_related("customer").in_bulk(of_kind["machine"])
    if of_kind["customer"]:
        known |= Customer.objects.in_bulk(of_kind["customer"])
    return (known[record] for _, record in hits if record in known)


def text_of(record: Searchable) -> str:
    """Everything a record is found by."""
    if isinstance(record, Customer):
        parts = [record.name, record.phone, record.email, record.address, record.note]
    elif isinstance(record, MachineRecord):
        parts = [record.name, record.kind, record.serial, record.earlier_serials]
        parts += [record.engine_code, record.note]
        parts += [record.customer.name, record.customer.phone] if record.customer else []
    else:
        parts = [str(record.number), record.title, record.verdict]
        parts += [text_of(record.machine)] if record.machine else []
        parts += [record.customer.name, record.customer.phone] if record.customer else []
    return " ".join(parts)


def entries_of(record: Searchable) -> Iterator[SearchWord]:
    """The rows under which a record is found."""
    newest = int(_changed(record).timestamp() * 1_000_000)
    for word in sorted(words_of(text_of(record))):
        yield SearchWord(word=word, newest=newest, kind=kind_of(record), record=record.pk)


def kind_of(record: Searchable) -> Kind:
    """What a record is, as the table of words names it."""
    if isinstance(record, Customer):
        return "customer"
    return "machine" if isinstance(record, MachineRecord) else "job"


def _changed(record: Searchable) -> datetime:
    return record.changed_at if isinstance(record, JobRecord) else record.created_at


@transaction.atomic
def index(records: Iterable[Searchable]) -> None:
    """Make records found by what they say now."""
    listed = list(records)
    SearchWord.objects.filter(record__in=[record.pk for record in listed]).delete()
    SearchWord.objects.bulk_create([row for record in listed for row in entries_of(record)], batch_size=2000)


def index_saved(sender: type[Any], instance: Searchable, **signal: Any) -> None:
    """Index a record and those that are also found by its words, whenever one is saved."""
    del sender
    if signal.get("raw") or signal.get("using") not in (None, "default"):
        return
    touched: list[Searchable] = [instance]
    if isinstance(instance, Customer):
        touched += instance.machines.select_related("customer")
        touched += instance.jobs.select_related("machine__customer", "customer")
    elif isinstance(instance, MachineRecord):
        touched += instance.jobs.select_related("machine__customer", "customer")
    index(touched)
