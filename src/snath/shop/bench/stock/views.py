"""Stock: everything on the shelf as a table, one part added, changed or counted down, a table pasted in."""

import json
from urllib.parse import urlencode
from uuid import UUID

from django.contrib import messages
from django.db.models import F, Q
from django.db.models.functions import Greatest
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext, gettext_lazy
from django.views.decorators.http import require_POST

from snath.quantities.errors import InputError
from snath.shop.bench.drafts import draft_of, fill
from snath.shop.bench.drive.stock_rows import BELT, PULLEY, Typed, kept_of, put_on_shelf
from snath.shop.bench.fields import fault_words
from snath.shop.bench.jobs.saving import saved
from snath.shop.bench.preferences import Preferences, preferences_of
from snath.shop.bench.stock.listed import beside, part_row, typed_of
from snath.shop.bench.stock.part_form import KINDS, PartForm
from snath.shop.records.attachments import keep_photo
from snath.shop.records.models import StockPart
from snath.shop.site.access import known_person

SHOWN = 500
INCHES_SOLD = tuple(
    [f"{n // 4} {n % 4}/4 in".replace(" 0/4", "").replace(" 2/4", " 1/2") for n in range(6, 24)]
    + [f"{n // 2} {n % 2}/2 in".replace(" 0/2", "") for n in range(12, 20)]
)
ADDED = (
    (PULLEY, gettext_lazy("One more pulley")),
    (BELT, gettext_lazy("One more belt")),
    ("blade", gettext_lazy("One more blade")),
    ("other", gettext_lazy("Something else")),
)


def stock(request: HttpRequest) -> HttpResponse:
    """Everything on the shelf, by kind and name, or what a word finds."""
    preferences, wanted = preferences_of(request), request.GET.get("q", "")[:120].strip()
    parts = StockPart.objects.order_by("kind", "name")
    for word in wanted.split():
        parts = parts.filter(
            Q(name__icontains=word) | Q(maker_part__icontains=word) | Q(place__icontains=word)
        )
    rows = [part_row(part, preferences) for part in parts[: SHOWN + 1]]
    kinds = dict(KINDS)
    groups = [
        (words, [row for row in rows[:SHOWN] if row.record.kind == kind]) for kind, words in kinds.items()
    ]
    context = {
        "groups": [(words, several) for words, several in groups if several],
        "any": bool(rows),
        "more": len(rows) > SHOWN,
        "q": wanted,
        "added": ADDED,
        "kept": request.GET.get("kept", "")[:120],
    }
    return render(request, "bench/stock/stock.html", context)


def new_part(request: HttpRequest, kind: str) -> HttpResponse:
    """One more part; what the address says of it stands in its boxes."""
    if kind not in dict(KINDS):
        return redirect("bench:stock")
    asked = {name: str(value)[:120] for name, value in request.GET.items()}
    return _part(request, kind, StockPart(kind=kind), asked)


def part(request: HttpRequest, key: UUID) -> HttpResponse:
    """One part, to be changed."""
    record = get_object_or_404(StockPart, pk=key)
    kind = record.kind if record.kind in dict(KINDS) else "other"
    return _part(request, kind, record, typed_of(record, preferences_of(request)))


def _part(request: HttpRequest, kind: str, record: StockPart, boxes: dict[str, str]) -> HttpResponse:
    preferences, new = preferences_of(request), record._state.adding
    draft = draft_of(request, f"stock:{kind if new else record.pk}")
    posted = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    form = PartForm(*posted, kind=kind, preferences=preferences, initial=boxes)
    if request.method == "POST":
        if _kept(request, form, record, preferences):
            messages.success(request, gettext("Saved: %(part)s.") % {"part": record.name})
            return redirect(saved(reverse("bench:stock"), draft))
    elif not (new and boxes):
        fill(form, draft)
    offered = [
        (words, f"{reverse('bench:part-new', args=[kind])}?{urlencode(given)}")
        for words, given in ([] if new else beside(record, preferences))
    ]
    context = {
        "form": form,
        "part": None if new else record,
        "row": part_row(record, preferences),
        "heading": dict(ADDED)[kind] if new else record.name,
        "offered": offered,
        "sizes": INCHES_SOLD if kind == PULLEY else (),
        "draft_key": draft.key,
        "draft_at": draft.at,
    }
    return render(request, "bench/stock/part.html", context, status=422 if form.errors else 200)


def _kept(request: HttpRequest, form: PartForm, record: StockPart, preferences: Preferences) -> bool:
    """Keep the part of a form; where a box is wrong nothing is kept, and it is marked."""
    found = form.stock()
    if found is None:
        return False
    photo = form.cleaned_data["photo"]
    attached = ""
    if photo:
        try:
            attached = str(keep_photo(photo.read(), photo.name, known_person(request), note="stock").pk)
        except InputError as fault:
            form.add_error("photo", fault_words(fault, preferences.decimal_mark))
            return False
    if form.in_tables:
        cells = form.typed()
        put_on_shelf(found, Typed({cells["number"]: cells}, preferences.decimal_mark), on=record)
    else:
        _other(form, record, preferences)
    if attached:
        record.data = json.dumps(kept_of(record) | {"photo": attached}, ensure_ascii=False)
        record.save()
    return True


def _other(form: PartForm, record: StockPart, preferences: Preferences) -> None:
    given = form.cleaned_data
    record.name, record.maker_part, record.place = given["name"], given["part"][:60], given["place"][:60]
    record.count = 1 if given["count"] is None else given["count"]
    typed = {key: form.typed().get(key, "") for key in ("size", "price")}
    record.data = json.dumps(
        kept_of(record) | {"typed": typed, "mark": preferences.decimal_mark}, ensure_ascii=False
    )
    record.save()


@require_POST
def count(request: HttpRequest, key: UUID) -> HttpResponse:
    """One piece used, or one put back; never under none, whoever else counts at the same moment."""
    record = get_object_or_404(StockPart, pk=key)
    by = -1 if request.POST.get("do") == "used" else 1
    StockPart.objects.filter(pk=key).update(count=Greatest(F("count") + by, 0))
    record.refresh_from_db()
    words = gettext("%(part)s: %(n)d left.") if by < 0 else gettext("%(part)s: %(n)d there.")
    messages.success(request, words % {"part": record.name, "n": record.count})
    return redirect("bench:stock")
