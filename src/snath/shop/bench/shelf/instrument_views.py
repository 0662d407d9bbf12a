"""Instruments: what their plates say, when they were checked beside a reference, and what is due."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext

from snath.quantities.errors import InputError
from snath.shop.bench import show
from snath.shop.bench.fields import fault_words
from snath.shop.bench.preferences import Preferences, preferences_of
from snath.shop.bench.shelf.forms import CheckForm, InstrumentForm
from snath.shop.bench.words import share_words
from snath.shop.records.instrument_checks import record_check
from snath.shop.records.models import InstrumentRecord, Person


def instruments(request: HttpRequest) -> HttpResponse:
    """Every instrument with the date of its next check; and a form for a new one."""
    form = InstrumentForm(request.POST or None, preferences=preferences_of(request))
    if request.method == "POST" and form.is_valid():
        if InstrumentRecord.objects.filter(code=form.cleaned_data["code"]).exists():
            form.add_error("code", gettext("There is one of that name already."))
        else:
            return redirect("bench:instrument", _put(InstrumentRecord(), form).code)
    rows = [instrument_row(row) for row in InstrumentRecord.objects.order_by("retired", "due_on", "name")]
    context = {"rows": rows, "form": form}
    return render(request, "bench/shelf/instruments.html", context, status=422 if form.errors else 200)


def instrument_row(record: InstrumentRecord) -> dict[str, Any]:
    """One instrument as a list shows it."""
    due = record.check_by is None or record.check_by <= timezone.localdate()
    return {"record": record, "due": due and not record.retired}


def instrument(request: HttpRequest, code: str) -> HttpResponse:
    """One instrument, its checks, and its plate to be changed."""
    record = get_object_or_404(InstrumentRecord, code=code)
    preferences = preferences_of(request)
    form = InstrumentForm(
        request.POST or None, preferences=preferences, initial=_initial(record, preferences)
    )
    del form.fields["code"]
    if request.method == "POST" and form.is_valid():
        _put(record, form)
        return redirect("bench:instruments")
    context = {
        "row": instrument_row(record),
        "form": form,
        "check": CheckForm(preferences=preferences, initial={"on": timezone.localdate()}),
        "checks": [_check_row(check, preferences) for check in record.checks.order_by("-on", "pk")[:60]],
    }
    return render(request, "bench/shelf/instrument.html", context, status=422 if form.errors else 200)


def check(request: HttpRequest, code: str) -> HttpResponse:
    """Keep a check beside a reference; correction and next date follow from it."""
    record = get_object_or_404(InstrumentRecord, code=code)
    preferences, who = preferences_of(request), request.user
    form = CheckForm(request.POST or None, preferences=preferences, initial={"on": timezone.localdate()})
    if request.method == "POST" and form.is_valid():
        assert isinstance(who, Person)
        try:
            given = form.cleaned_data
            record_check(record, given["on"], given["reference"], form.points(), who)
        except InputError as fault:
            form.add_error("read_1", fault_words(fault, preferences.decimal_mark))
        else:
            return redirect("bench:instrument", code)
    context = {"row": instrument_row(record), "check": form, "form": form}
    return render(request, "bench/shelf/check.html", context, status=422 if form.errors else 200)


def _check_row(check: Any, preferences: Preferences) -> dict[str, Any]:
    return {
        "on": check.on,
        "reference": check.reference,
        "read": show.speed(check.read_rev_s, preferences, digits=1),
        "true": show.speed(check.reference_rev_s, preferences, digits=1),
        "drift": share_words(check.drift, preferences) if check.drift is not None else "",
        "who": check.who,
    }


def _initial(record: InstrumentRecord, preferences: Preferences) -> dict[str, Any]:
    """The plate in the words of the form."""
    return {
        "name": record.name,
        "kind": record.kind,
        "accuracy": share_words(record.accuracy, preferences),
        "digits": show.speed(record.digits, preferences, digits=1) if record.digits else "",
        "resolution": show.speed(record.resolution, preferences, digits=1) if record.resolution else "",
        "per_turn": f"{record.per_turn:g}",
        "check_every_months": record.check_every_months,
        "note": record.note,
        "retired": record.retired,
    }


def _put(record: InstrumentRecord, form: InstrumentForm) -> InstrumentRecord:
    given = form.cleaned_data
    record.code = given.get("code", record.code)
    record.name, record.kind, record.note = given["name"], given["kind"], given["note"]
    record.accuracy = given["accuracy"]
    record.digits = given["digits"].measured.value if given["digits"] else 0.0
    record.resolution = given["resolution"].measured.value if given["resolution"] else 0.0
    record.per_turn = given["per_turn"] or 1.0
    record.check_every_months, record.retired = given["check_every_months"], given["retired"]
    record.save()
    return record
