"""For instructors: the working of a job, guess then measure, and a class sheet with its answers hidden."""

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.timezone import localdate
from django.utils.translation import gettext_lazy

from snath.shop.bench import show
from snath.shop.bench.fields import QuantityField, ShopForm
from snath.shop.bench.jobs.kept import newest
from snath.shop.bench.jobs.limits import limit_rows
from snath.shop.bench.jobs.list_views import job_rows
from snath.shop.bench.jobs.page import last_reading
from snath.shop.bench.preferences import preferences_of
from snath.shop.bench.refusals import Refusing, WholeField
from snath.shop.bench.rulebook import shop_book
from snath.shop.bench.teach.problems import MOST, off_by, problems
from snath.shop.bench.words import said
from snath.shop.records.models import JobRecord
from snath.shop.records.store import shop_settings
from snath.shop.site.access import readers_may_post

SHOWN = 30
QUESTIONS = 10  # what a sheet of paper bears with room to write


class ClassForm(Refusing, forms.Form):
    """Which class sheet."""

    use_required_attribute = False
    number = WholeField(
        label=gettext_lazy("Sheet number"),
        min_value=1,
        max_value=999_999,
        initial=lambda: int(f"{localdate():%y%m%d}"),
        help_text=gettext_lazy("The same number gives the same sheet."),
    )
    count = WholeField(
        label=gettext_lazy("How many questions"), min_value=1, max_value=MOST, initial=QUESTIONS
    )


class GuessForm(ShopForm):
    """Two guesses before anybody looks."""

    ceiling = QuantityField(
        "rotation", default_unit="rpm", label=gettext_lazy("How fast may it turn at most, rpm?")
    )
    reading = QuantityField(
        "rotation", default_unit="rpm", label=gettext_lazy("How fast does it turn now, rpm?"), required=False
    )


def teach(request: HttpRequest) -> HttpResponse:
    """What there is to teach with."""
    preferences = preferences_of(request)
    jobs = (
        JobRecord.objects.filter(version__gt=0).select_related("machine", "customer").order_by("-changed_at")
    )
    context = {"rows": job_rows(jobs[:SHOWN], preferences), "form": ClassForm()}
    return render(request, "bench/teach/teach.html", context)


def working(request: HttpRequest, number: int) -> HttpResponse:
    """Every line of arithmetic behind a job."""
    job = newest(number)
    context = {"job": job, "limits": limit_rows(job, preferences_of(request))}
    return render(request, "bench/teach/working.html", context)


@readers_may_post
def guess(request: HttpRequest, number: int) -> HttpResponse:
    """Guess first; what was worked out and read is shown only then."""
    job = newest(number)
    preferences = preferences_of(request)
    form = GuessForm(request.POST or None, preferences=preferences)
    rows: list[dict[str, Any]] = []
    if request.method == "POST" and form.is_valid():
        reading = last_reading(job.job)
        known = (
            ("ceiling", job.result.window.ceiling),
            ("reading", reading.value.value if reading and reading.value else None),
        )
        for name, true in known:
            given = form.cleaned_data[name]
            if given and true is not None:
                rows.append(
                    {
                        "label": form.fields[name].label,
                        "guess": show.speed(given.measured.value, preferences),
                        "true": show.speed(
                            true, preferences, round="down" if name == "ceiling" else "nearest"
                        ),
                        "off": off_by(given.measured.value, true, preferences),
                    }
                )
    context = {"job": job, "kind": said(job.job.machine.kind), "form": form, "rows": rows}
    return render(request, "bench/teach/guess.html", context, status=422 if form.errors else 200)


def class_sheet(request: HttpRequest) -> HttpResponse:
    """The questions; the answers only where they are asked for."""
    form = ClassForm(request.GET or None)
    sheet = []
    if form.is_valid():
        given = form.cleaned_data
        market = shop_settings().market
        sheet = problems(given["number"], given["count"], shop_book(), market, preferences_of(request))
    context = {"form": form, "problems": sheet, "answers": request.GET.get("answers") == "shown"}
    return render(request, "bench/teach/class_sheet.html", context)
