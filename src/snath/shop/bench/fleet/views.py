"""The fleet: which machines are due, which ran over, which are shut, and what a new rule or a new program moved."""

import json
from collections.abc import Iterator
from typing import Any

from django.core.paginator import Paginator
from django.db.models import Count, F, Q, QuerySet
from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext, gettext_lazy

from snath.shop.bench import show
from snath.shop.bench.fleet.kept import asked_now, begin, machine_of, to_work, work_some
from snath.shop.bench.preferences import Preferences, preferences_of
from snath.shop.fleet.moved import COLUMNS as MOVED
from snath.shop.fleet.worked import COLUMNS
from snath.shop.records.fleet import FleetEntry
from snath.shop.tables.harmless import csv_line

A_PAGE, STEP = 50, 500
BY_DATE = (F("due_on").asc(nulls_first=True), "number", "machine__name", "pk")
PICKS = (
    ("", gettext_lazy("all")),
    ("due", gettext_lazy("due")),
    ("over", gettext_lazy("ran over")),
    ("shut", gettext_lazy("shut")),
    ("moved", gettext_lazy("moved")),
)

MOVES = {
    "lower": gettext_lazy("ceiling lower than before"),
    "higher": gettext_lazy("ceiling higher than before"),
    "shut": gettext_lazy("shut now"),
    "opened": gettext_lazy("open now"),
    "word": gettext_lazy("another word than before"),
}


def fleet(request: HttpRequest) -> HttpResponse:
    """Machines by the day they are due, or those of one kind."""
    preferences, picked = preferences_of(request), request.GET.get("which", "")
    entries = picked_by(picked).select_related("machine", "machine__customer").order_by(*BY_DATE)
    page = Paginator(entries, A_PAGE).get_page(request.GET.get("page"))
    many = counted()
    context = {
        "page": page,
        "rows": [row_shown(entry, preferences) for entry in page],
        "picks": [(key, name, many[key or "all"]) for key, name in PICKS],
        "picked": picked,
        "left": to_work(asked_now()).count(),
        "today": timezone.localdate(),
    }
    return render(request, "bench/fleet/fleet.html", context)


def work(request: HttpRequest) -> HttpResponse:
    """Work a few machines and come again until none is left; then the list, with what moved."""
    asked = asked_now()
    if request.method != "POST":
        return redirect("bench:fleet")
    if request.POST.get("do") == "begin":
        begin()
    left = work_some(asked)
    whole = FleetEntry.objects.count()
    context = {"left": left, "done": whole - left, "whole": whole}
    if not left:
        context["moved"] = FleetEntry.objects.exclude(moved="").count()
    return render(request, "bench/fleet/work.html", context)


def table(request: HttpRequest) -> StreamingHttpResponse:
    """Every machine as a line of a table that a spreadsheet opens without running anything."""
    del request
    answer = StreamingHttpResponse(_lines(), content_type="text/csv; charset=utf-8")
    answer.headers["Content-Disposition"] = 'attachment; filename="fleet.csv"'
    return answer


def picked_by(which: str) -> QuerySet[FleetEntry]:
    """The machines of one kind."""
    return FleetEntry.objects.filter(_of(which))


def counted() -> dict[str, int]:
    """How many machines there are of each kind, asked at once."""
    kinds = {key or "all": Count("pk", filter=_of(key)) for key, _ in PICKS}
    return FleetEntry.objects.aggregate(**kinds)


def _of(which: str) -> Q:
    if which == "due":
        return Q(due_on=None) | Q(due_on__lte=timezone.localdate())
    if which in ("over", "shut"):
        return Q(**{which: True})
    return ~Q(moved="") if which == "moved" else Q(pk__isnull=False)


def row_shown(entry: FleetEntry, preferences: Preferences) -> dict[str, Any]:
    """One machine as the list shows it."""
    row = json.loads(entry.row) if entry.row else {}
    return {
        "entry": entry,
        "machine": entry.machine,
        "due": entry.due_on is None or entry.due_on <= timezone.localdate(),
        "ceiling": show.speed(_rev_s(row.get("ceiling_rpm")), preferences, round="down"),
        "reading": show.speed(_rev_s(row.get("reading_rpm")), preferences),
        "before": show.speed(_rev_s(row.get("ceiling_before_rpm")), preferences, round="down"),
        "moved": [MOVES[word] for word in entry.moved.split(", ") if word in MOVES],
        "error": row.get("error"),
        "word": _word(row),
    }


def _word(row: dict[str, Any]) -> str:
    """What the last reading says of the speed; never that a machine passed."""
    if row.get("over"):
        return gettext("over a limit by its last reading")
    return {
        "fail": gettext("the speed fails by its last reading"),
        "undecided": gettext("the speed is undecided by its last reading"),
        "pass": gettext("no limit passed by its last reading; the machine was not checked for this list"),
    }.get(row.get("speed_alone") or "", "")


def _rev_s(rpm: float | None) -> float | None:
    return None if rpm is None else rpm / 60


def _lines() -> Iterator[str]:
    yield csv_line((*COLUMNS, *MOVED))
    entries = FleetEntry.objects.select_related("machine", "machine__customer").order_by("pk")
    group = list(entries[:STEP])
    while group:
        for entry in group:
            row = json.loads(entry.row) if entry.row else _unworked(entry)
            moved = MOVED if entry.moved else ()
            yield csv_line(
                row.get(name) if name in COLUMNS or name in moved else None for name in (*COLUMNS, *MOVED)
            )
        group = list(entries.filter(pk__gt=group[-1].pk)[:STEP])


def _unworked(entry: FleetEntry) -> dict[str, Any]:
    kept = machine_of(entry)
    return {
        "place": kept.place,
        "number": kept.number,
        "machine": entry.machine.name,
        "serial": entry.machine.serial,
        "kind": entry.machine.kind,
        "customer": kept.customer,
        "read_on": kept.read_on,
        "due_on": kept.due_on,
    }
