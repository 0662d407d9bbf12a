"""Jobs in progress and done, found by anything typed; and which machine a new one is for."""

from collections.abc import Iterable

from django.db.models import F
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import localdate
from django.utils.translation import gettext_lazy

from snath.decisions.job.stands import JobVerdict
from snath.decisions.machine.sheet import read_sheet
from snath.shop.bench import show
from snath.shop.bench.jobs.kept import as_now
from snath.shop.bench.jobs.start import start
from snath.shop.bench.preferences import Preferences, preferences_of
from snath.shop.bench.words import said
from snath.shop.records.models import Customer, JobRecord, MachineRecord, Person
from snath.shop.records.search import search

SHOWN = 40
FILTERS = (
    ("", gettext_lazy("all")),
    ("reading", gettext_lazy("wait for a reading")),
    ("check", gettext_lazy("wait for a check of the machine")),
    ("part", gettext_lazy("wait for a part")),
    ("repair", gettext_lazy("wait for a repair")),
    ("signature", gettext_lazy("wait for a signature")),
    ("customer", gettext_lazy("wait for the customer")),
    ("done", gettext_lazy("done")),
)
# How a list is sorted: what it is asked by, its words, the columns.
SORTS = (
    ("", gettext_lazy("newest change"), ("-changed_at",)),
    ("due", gettext_lazy("due back"), (F("due_back").asc(nulls_last=True), "-changed_at")),
    ("opened", gettext_lazy("opened"), ("-opened_at",)),
    ("number", gettext_lazy("number"), ("-number",)),
)


def jobs(request: HttpRequest) -> HttpResponse:
    """The newest jobs, those that wait for one thing, or what a search finds."""
    preferences = preferences_of(request)
    wanted, waits = request.GET.get("q", "")[:200].strip(), request.GET.get("waits", "")
    sort = request.GET.get("sort", "")
    found = search(wanted) if wanted else None
    records = found.records if found else _listed(waits, sort)
    context = {
        "q": wanted,
        "waits": waits,
        "filters": FILTERS,
        "sort": sort,
        "sorts": SORTS,
        "rows": job_rows([record for record in records if isinstance(record, JobRecord)], preferences),
        "machines": [record for record in records if isinstance(record, MachineRecord)],
        "customers": [record for record in records if isinstance(record, Customer)],
        "complete": found.complete if found else True,
    }
    return render(request, "bench/jobs/list.html", context)


def _listed(waits: str, sort: str) -> list[JobRecord]:
    order = next((columns for key, _, columns in SORTS if key == sort), SORTS[0][2])
    rows = JobRecord.objects.select_related("machine", "customer").order_by(*order)
    if waits:
        rows = rows.filter(waits_for="" if waits == "done" else waits)
    return list(rows[:SHOWN])


def job_rows(records: Iterable[JobRecord], preferences: Preferences) -> list[dict[str, object]]:
    """Jobs as a list shows them: with the word they stand at now, and the check that blocks them."""
    listed = list(records)
    now = as_now(listed)
    return [_row(record, now.get(record.pk), preferences) for record in listed]


def _row(record: JobRecord, stands: JobVerdict | None, preferences: Preferences) -> dict[str, object]:
    return {
        "record": record,
        "blocked_by": [said(fault, preferences) for fault in stands.blocked_by] if stands else [],
        "name": record.machine.name if record.machine else record.title,
        "found": show.speed(record.as_found_rev_s, preferences),
        "left": show.speed(record.as_left_rev_s, preferences),
        "ceiling": show.speed(record.ceiling, preferences, round="down"),
        "late": record.due_back is not None and bool(record.waits_for) and record.due_back < localdate(),
        "again": bool(record.machine_id) and (not record.waits_for or record.verdict == "pass"),
    }


def new_job(request: HttpRequest) -> HttpResponse:
    """Choose the machine: one from the shelf, or a new one."""
    if request.method == "POST":
        who = request.user
        assert isinstance(who, Person)
        record = get_object_or_404(MachineRecord, pk=request.POST.get("machine", ""))
        opened = start(who, record, read_sheet(record.sheet))  # its own decimal mark, whoever opens it
        return redirect("bench:job-window", opened.number)
    wanted = request.GET.get("q", "")[:200].strip()
    if wanted:
        machines = [record for record in search(wanted).records if isinstance(record, MachineRecord)]
    else:
        machines = list(MachineRecord.objects.select_related("customer").order_by("-created_at")[:SHOWN])
    return render(request, "bench/jobs/new.html", {"q": wanted, "machines": machines})
