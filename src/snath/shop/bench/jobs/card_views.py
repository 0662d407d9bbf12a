"""The one-minute card's page: a card in, and on the same page its verdict and its papers."""

from typing import Any

from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext

from snath.decisions.behaviour.asked import StageName
from snath.decisions.job.job import Job
from snath.decisions.machine.parts import Engine, Machine
from snath.decisions.machine.sheet import read_sheet
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.reading import Reading
from snath.decisions.reading.shown import shown_reading
from snath.quantities.errors import InputError, InputErrors
from snath.shop.bench.fields import fault_words, plainly
from snath.shop.bench.jobs.card import KIND, CardForm, box_of
from snath.shop.bench.jobs.kept import keep, newest
from snath.shop.bench.jobs.looked_over import looked_over, with_tick
from snath.shop.bench.jobs.machine_views import customer_asked, customers
from snath.shop.bench.jobs.page import figures, now, with_reading
from snath.shop.bench.jobs.sheet_views import PAPERS_OF_A_JOB
from snath.shop.bench.jobs.start import fresh_job, shelve
from snath.shop.bench.preferences import Preferences, preferences_of
from snath.shop.bench.shelf.instruments import shop_instruments, with_instrument
from snath.shop.bench.shelf.tachometer import NEW, added
from snath.shop.bench.words import said
from snath.shop.bench.yard.entries import boxes_from_yard, file_away
from snath.shop.records.models import Customer, JobRecord, Person
from snath.shop.records.store import open_job

MOWER = Machine("", KIND, Engine(), (), ())  # what its list before it runs is for


def card(request: HttpRequest) -> HttpResponse:
    """Take a card; then show its verdict, its papers, and a card for the next machine."""
    preferences, instruments = preferences_of(request), shop_instruments()
    whom = customer_asked(request)
    begun = boxes_from_yard(request) | ({"owner": whom.name} if whom else {})
    form = CardForm(request.POST or None, initial=begun, preferences=preferences, instruments=instruments)
    if request.method == "POST" and form.is_valid():
        opened = _kept(request, form)
        if opened is not None:
            return redirect(f"{reverse('bench:card')}?job={opened.number}")
    context = {"form": form, "customers": customers(), "done": _done(request, preferences)}
    context["run_list"] = looked_over(MOWER)
    return render(request, "bench/jobs/card.html", context, status=422 if form.errors else 200)


def _done(request: HttpRequest, preferences: Preferences) -> dict[str, Any] | None:
    """The card just kept, as its job stands."""
    number = request.GET.get("job", "")
    if not (number.isdecimal() and len(number) < 10) or request.method == "POST":
        return None
    job = newest(int(number))
    if not job.stands.word:
        raise Http404
    return {
        "record": job.record,
        "job": job,
        "stands": job.stands,
        "verdict": job.verdict,
        "figures": figures(job, preferences),
        "reasons": [said(reason, preferences) for reason in job.stands.reasons],
        "settle": [said(step, preferences) for step in job.stands.settle],
        "notes": [said(note, preferences) for note in job.result.notes],
        "papers": PAPERS_OF_A_JOB,
    }


def _kept(request: HttpRequest, form: CardForm) -> JobRecord | None:
    """The card as a machine, its customer and a job with its readings: all of it or nothing, with the fault marked."""
    sheet = form.sheet()
    try:
        machine = read_sheet(sheet)
    except InputErrors as found:
        for fault in found.faults:
            form.add_error(box_of(fault.field), plainly(fault, form.preferences.decimal_mark))
        return None
    try:
        with transaction.atomic():
            return _put(request, form, machine, sheet)
    except InputError as fault:
        form.add_error("found", fault_words(fault, form.preferences.decimal_mark))
        return None


def _put(request: HttpRequest, form: CardForm, machine: Machine, sheet: str) -> JobRecord:
    who = request.user
    assert isinstance(who, Person)
    instrument = _instrument(form)
    readings = {
        stage: _reading(speeds, machine, instrument) for stage, speeds in form.speeds.items() if speeds
    }
    record = shelve(
        machine, sheet, customer=owner_named(form.cleaned_data["owner"], form.cleaned_data["phone"])
    )
    opened = open_job(who, machine=record, title=record.name)
    job = fresh_job(machine)
    base = keep(opened, job, base=0, who=who, note=gettext("opened")).version
    for stage, reading in readings.items():
        job = _with(job, stage, reading, instrument, ticked=form.cleaned_data["looked_over"])
        note = gettext("reading %(stage)s") % {"stage": said(stage)}
        base = keep(opened, job, base=base, who=who, note=note).version
    file_away(request, str(opened.number))
    return opened


def _instrument(form: CardForm) -> Instrument | None:
    """The one on the shelf that was chosen, else the one of the two boxes."""
    chosen = form.cleaned_data["instrument"] or form.fields["instrument"].initial
    known = next((one for one in form.instruments if one.id == chosen), None)
    return known if known is not None and chosen != NEW else added(form)


def _reading(speeds: tuple[float, ...], machine: Machine, instrument: Instrument | None) -> Reading:
    return shown_reading(
        speeds, engine=machine.engine, instrument=instrument, condition="blades in air", at=now()
    )


def _with(
    job: Job, stage: StageName, reading: Reading, instrument: Instrument | None, *, ticked: bool
) -> Job:
    job = with_reading(with_instrument(job, instrument), stage, reading)
    return with_tick(job, stage) if ticked else job


def owner_named(name: str, phone: str = "") -> Customer | None:
    """The customer of that name, the newest where there are several; a new one where there is none."""
    name = name.strip()
    if not name:
        return None
    known = Customer.objects.filter(erased_at=None, name__iexact=name).order_by("-created_at").first()
    return known or Customer.objects.create(name=name[:120], phone=phone.strip()[:60])
