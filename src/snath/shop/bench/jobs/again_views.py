"""Bring last year's machine back on the bench: same blade, same pulleys, then straight to its reading."""

from uuid import UUID

from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render

from snath.decisions.machine.sheet import read_sheet
from snath.shop.bench.jobs.again import changed, others_wrong, sized
from snath.shop.bench.jobs.entries import from_post, from_sheet
from snath.shop.bench.jobs.list_views import job_rows
from snath.shop.bench.jobs.machine_form import MachineForm
from snath.shop.bench.jobs.start import shelve, start
from snath.shop.bench.preferences import preferences_of
from snath.shop.records.models import JobRecord, MachineRecord, Person


def again(request: HttpRequest, key: UUID) -> HttpResponse:
    """Ask, with the sizes as they stood; a yes, or what changes, opens a new job and goes on to its reading."""
    record = get_object_or_404(MachineRecord.objects.select_related("customer"), pk=key)
    preferences = preferences_of(request)
    last = from_sheet(record.sheet, preferences.decimal_mark)
    form = MachineForm(last, preferences=preferences, sent=False)
    if request.method == "POST":
        who = request.user
        assert isinstance(who, Person)
        if "same" in request.POST:
            opened = start(who, record, read_sheet(record.sheet))
            return redirect("bench:job-reading", opened.number)
        form = MachineForm(changed(last, from_post(request.POST)), preferences=preferences, sent=True)
        found = form.machine()
        if found is not None:
            with transaction.atomic():
                shelve(*found, customer=None, record=record)
                opened = start(who, record, found[0])
            return redirect("bench:job-reading", opened.number)
    before = JobRecord.objects.filter(machine=record).order_by("-opened_at").first()
    context = {
        "machine": record,
        "form": form,
        "sized": sized(form),
        "others": list(others_wrong(form)) if form.is_bound else [],
        "before": job_rows([before], preferences)[0] if before else None,
    }
    return render(request, "bench/jobs/again.html", context, status=422 if form.errors else 200)
