"""What a phone took down without the bench: taken once by its key, here until somebody looks and has it judged.

An entry is a draft like any other, its key given by the phone. It stays after it was filed, as a mark, so that a
phone that never heard the answer and sends it again finds it taken.
"""

import json
from dataclasses import dataclass
from typing import Any, Literal
from uuid import UUID

from django.db import transaction
from django.http import HttpRequest
from django.utils import timezone
from django.utils.translation import gettext

from snath.quantities.errors import InputError
from snath.shop.bench.drafts import as_lists
from snath.shop.records.jobs import FROM_YARD as PREFIX
from snath.shop.records.jobs import Draft
from snath.shop.records.people import Person

KINDS = ("card", "reading")
BOXES = {
    "card": ("blade", "found", "left", "owner"),
    "reading": ("job", "stage", "condition", "instrument", "speed_1", "speed_2", "speed_3"),
}
LONGEST = 120
MOST = 200  # entries of one person that wait; a phone that sends more is not ours

Kind = Literal["card", "reading"]


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry; `filed` says where it went, empty while it waits."""

    key: str
    kind: str
    at: str
    boxes: dict[str, str]
    filed: str


def take(who: Person, sent: dict[str, str]) -> Entry:
    """Keep an entry once, however often it is sent.

    Raises
    ------
    InputError
        If it is none, or too many wait.
    """
    try:
        key = str(UUID(sent.get("key", "")))
    except ValueError:
        raise InputError("key", sent.get("key", ""), gettext("must be the key of an entry")) from None
    kind = sent.get("kind", "")
    if kind not in KINDS:
        raise InputError("kind", kind, gettext("must be a card or a reading"))
    boxes = {name: sent.get(name, "").strip()[:LONGEST] for name in BOXES[kind]}
    fields = {
        "kind": [kind],
        "at": [sent.get("at", "")[:40]],
        **{name: [text] for name, text in boxes.items()},
    }
    with transaction.atomic():
        waiting = Draft.objects.filter(person=who, key__startswith=PREFIX)
        if waiting.exclude(fields__contains='"filed"').count() >= MOST:
            raise InputError("entries", MOST, gettext("too many wait already: file some first"))
        row, _ = Draft.objects.get_or_create(
            person=who,
            key=PREFIX + key,
            defaults={"fields": json.dumps(fields), "changed_at": timezone.now()},
        )
    return _entry(row)


def waiting(who: Person) -> list[Entry]:
    """This person's entries that nobody has filed yet, the oldest first."""
    rows = Draft.objects.filter(person=who, key__startswith=PREFIX).order_by("changed_at")
    return sorted((entry for entry in map(_entry, rows) if not entry.filed), key=lambda entry: entry.at)


def entry_asked(request: HttpRequest) -> Entry | None:
    """The entry a form was opened with; None where it was not, or the entry has been filed."""
    key, who = request.GET.get("yard", "")[:60], request.user
    if not key or not isinstance(who, Person):
        return None
    row = Draft.objects.filter(person=who, key=PREFIX + key).first()
    entry = _entry(row) if row else None
    return entry if entry and not entry.filed else None


def boxes_from_yard(request: HttpRequest) -> dict[str, str]:
    """What a form opened with an entry begins with; a tick of caution is never among it."""
    entry = entry_asked(request)
    return {name: text for name, text in entry.boxes.items() if text and name != "job"} if entry else {}


def file_away(request: HttpRequest, where: str) -> None:
    """Mark the entry a form was opened with as filed; to be called where the form's own save is made.

    Raises
    ------
    InputError
        If it was filed before: the same entry is never filed twice.
    """
    key, who = request.GET.get("yard", "")[:60], request.user
    if not key or not isinstance(who, Person):
        return
    row = Draft.objects.select_for_update().filter(person=who, key=PREFIX + key).first()
    if row is None:
        return
    if _entry(row).filed:
        raise InputError("entry", key, gettext("was filed before: nothing was saved a second time"))
    _mark(row, where)


def put_away(who: Person, key: str) -> None:
    """Mark an entry as not wanted."""
    row = Draft.objects.filter(person=who, key=PREFIX + key[:60]).first()
    if row is not None:
        _mark(row, "-")


def _mark(row: Draft, where: str) -> None:
    row.fields = json.dumps({"filed": [where]})
    row.save()


def _entry(row: Draft) -> Entry:
    fields: dict[str, Any] = as_lists(row.fields)
    boxes = {name: values[0] for name, values in fields.items() if values}
    kind, at, filed = (boxes.pop(name, "") for name in ("kind", "at", "filed"))
    return Entry(row.key.removeprefix(PREFIX), kind, at, boxes, filed)
