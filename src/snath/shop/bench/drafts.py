"""What was typed so far is kept on each keystroke, and put back when the page comes again."""

import json
from collections.abc import Hashable
from dataclasses import dataclass, field
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_POST

from snath.shop.records.models import Draft
from snath.shop.records.people import Person
from snath.shop.records.store import drop_draft, save_draft
from snath.shop.records.unchanged import unchanged

NOT_KEPT = ("csrfmiddlewaretoken", "base")
MOST_FIELDS, LONGEST = 600, 150_000


@dataclass(frozen=True, slots=True)
class KeptDraft:
    """A draft with the time it was kept, seconds since 1970; empty with time 0 where there is none."""

    key: str
    person: Person | None
    fields: dict[str, list[str]] = field(default_factory=dict)
    at: float = 0.0

    def drop(self) -> None:
        """Forget it once its form has been saved."""
        if self.person is not None:
            drop_draft(self.person, self.key)


def draft_of(request: HttpRequest, key: str) -> KeptDraft:
    """This person's draft of that form."""
    person = request.user if isinstance(request.user, Person) else None
    if person is None:
        return KeptDraft(key, None)
    there = unchanged(("is there a draft", person.pk, key), lambda: _drafts(person, key).exists())
    kept = _drafts(person, key).first() if there else None  # what stands in it is asked anew each time
    if kept is None:
        return KeptDraft(key, person)
    return KeptDraft(key, person, as_lists(kept.fields), kept.changed_at.timestamp())


def _drafts(person: Person, key: str) -> QuerySet[Draft]:
    return Draft.objects.filter(person=person, key=key)


def untouched(request: HttpRequest, draft: KeptDraft, *rests_on: Hashable) -> tuple[Hashable, ...] | None:
    """What a form nobody has typed into rests on beside its job, so that its boxes can be kept; else None."""
    return None if request.method == "POST" or request.GET or draft.fields else rests_on


def as_lists(text: str) -> dict[str, list[str]]:
    """The kept fields; what is not a list of texts was not kept by this page and is left out."""
    data: dict[str, Any] = json.loads(text)
    return {
        name: values
        for name, values in data.items()
        if isinstance(values, list) and all(isinstance(value, str) for value in values)
    }


def fill(form: forms.Form, draft: KeptDraft) -> None:
    """Put a draft into a form that has not been sent yet."""
    if not draft.fields:
        return
    for name, item in form.fields.items():
        key = form.add_prefix(name)
        if "data-caution" in item.widget.attrs:
            continue  # a tick of caution is given by whoever stands there now
        if isinstance(item, forms.BooleanField):
            form.initial[name] = bool(draft.fields.get(key))
        elif key in draft.fields:
            form.initial[name] = draft.fields[key][0]


@require_POST
def start_afresh(request: HttpRequest, key: str) -> HttpResponse:
    """Forget a draft nobody wants any more."""
    person = request.user
    assert isinstance(person, Person)
    drop_draft(person, key)
    return HttpResponse(status=204)


@require_POST
def keep_draft(request: HttpRequest, key: str) -> HttpResponse:
    """Keep one form as typed so far."""
    person = request.user
    assert isinstance(person, Person)
    fields = {name: values for name, values in request.POST.lists() if name not in NOT_KEPT}
    typed = sum(len(name) + sum(map(len, values)) for name, values in fields.items())
    if len(fields) > MOST_FIELDS or typed > LONGEST or not save_draft(person, key, fields):
        return HttpResponse(status=413)  # the page says that it is kept on the device alone
    return HttpResponse(status=204)
