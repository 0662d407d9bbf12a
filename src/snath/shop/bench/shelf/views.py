"""The shelf: customers, machines with their history, and parts in stock."""

import json
from typing import Any
from uuid import UUID

from django.forms import ModelForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext_lazy

from snath.quantities.errors import InputError
from snath.shop.bench.fields import fault_words
from snath.shop.bench.jobs.list_views import job_rows
from snath.shop.bench.preferences import preferences_of
from snath.shop.bench.shelf.forms import CustomerForm, PhotoForm
from snath.shop.records.attachments import keep_photo
from snath.shop.records.models import Customer, EarlierSheet, JobRecord, MachineRecord, Person
from snath.shop.records.search import search

SHOWN = 60
PLACES = (
    ("bench:machines", gettext_lazy("Machines"), gettext_lazy("sheet, photos, speeds over the years")),
    ("bench:fleet", gettext_lazy("Fleet"), gettext_lazy("which are due, ran over or are shut")),
    ("bench:customers", gettext_lazy("Customers"), gettext_lazy("who brings what")),
    ("bench:instruments", gettext_lazy("Instruments"), gettext_lazy("accuracy, checks, what is due")),
    ("bench:stock", gettext_lazy("Stock"), gettext_lazy("pulleys, belts, blades")),
    ("bench:rules", gettext_lazy("Rules in force"), gettext_lazy("where each is from, and how it is known")),
    ("bench:chart", gettext_lazy("Wall chart"), gettext_lazy("highest speed by blade size, on paper")),
    ("bench:shop", gettext_lazy("This shop"), gettext_lazy("market, paper, how verdicts are decided")),
    ("people", gettext_lazy("People and phones"), gettext_lazy("who may do what, what to take along")),
)


def shelf(request: HttpRequest) -> HttpResponse:
    """What there is."""
    return render(request, "bench/shelf/shelf.html", {"places": PLACES})


def machines(request: HttpRequest) -> HttpResponse:
    """Machines by anything typed, else the newest."""
    wanted = request.GET.get("q", "")[:200].strip()
    rows = (
        [record for record in search(wanted).records if isinstance(record, MachineRecord)]
        if wanted
        else list(MachineRecord.objects.select_related("customer").order_by("-created_at")[:SHOWN])
    )
    return render(request, "bench/shelf/machines.html", {"q": wanted, "machines": rows})


def machine(request: HttpRequest, key: UUID) -> HttpResponse:
    """One machine and every job it had, with the speeds it was found and left at."""
    record = get_object_or_404(MachineRecord.objects.select_related("customer"), pk=key)
    preferences = preferences_of(request)
    form = PhotoForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        who, photo = request.user, form.cleaned_data["photo"]
        assert isinstance(who, Person)
        try:
            keep_photo(photo.read(), photo.name, who, machine=record)
            return redirect("bench:machine", key)
        except InputError as fault:
            form.add_error("photo", fault_words(fault, preferences.decimal_mark))
    jobs = (
        JobRecord.objects.filter(machine=record).select_related("machine", "customer").order_by("-opened_at")
    )
    context = {
        "machine": record,
        "form": form,
        "rows": job_rows(jobs[:SHOWN], preferences),
        "earlier": [stood(one) for one in record.earlier_sheets.order_by("-until", "-pk")[:SHOWN]],
        "photos": record.attachments.filter(kind="photo").order_by("at")[:SHOWN],
    }
    return render(request, "bench/shelf/machine.html", context, status=422 if form.errors else 200)


def stood(earlier: EarlierSheet) -> dict[str, Any]:
    """What stood on the shelf before, with its reading as a table had it."""
    typed = json.loads(earlier.reading) if earlier.reading else {}
    return {
        "sheet": earlier.sheet,
        "until": earlier.until,
        "on": earlier.read_on,
        "reading": typed.get("reading", ""),
    }


def customers(request: HttpRequest) -> HttpResponse:
    """Customers by anything typed, else the newest; and a form for a new one."""
    wanted = request.GET.get("q", "")[:200].strip()
    form = CustomerForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        return redirect("bench:customer", form.save().pk)
    rows = (
        [record for record in search(wanted).records if isinstance(record, Customer)]
        if wanted
        else list(Customer.objects.filter(erased_at=None).order_by("-created_at")[:SHOWN])
    )
    context = {"q": wanted, "customers": rows, "form": form}
    return render(request, "bench/shelf/customers.html", context, status=422 if form.errors else 200)


def customer(request: HttpRequest, key: UUID) -> HttpResponse:
    """One customer, to be changed, with the machines they brought."""
    record = get_object_or_404(Customer, pk=key, erased_at=None)
    machines = record.machines.order_by("-created_at")[:SHOWN]
    form = CustomerForm(request.POST or None, instance=record)
    return _form(
        request, form, "bench/shelf/customer.html", "bench:customers", customer=record, machines=machines
    )


def _form(
    request: HttpRequest,
    form: ModelForm,  # type: ignore[type-arg]
    template: str,
    then: str,
    **more: Any,
) -> HttpResponse:
    if request.method == "POST" and form.is_valid():
        form.save()
        return redirect(then)
    return render(request, template, {"form": form, **more}, status=422 if form.errors else 200)
