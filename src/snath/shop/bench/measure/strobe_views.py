"""A speed by flashing light: how to look, and what the flash rates of single still images say."""

import re
from collections.abc import Sequence
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext, gettext_lazy

from snath.decisions.reading.flashed import flashed_reading
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.reading import Reading
from snath.quantities.errors import InputError
from snath.quantities.units import parse
from snath.shop.bench.fields import ShopForm, choices_of, fault_words
from snath.shop.bench.jobs.kept import newest
from snath.shop.bench.jobs.page import now, page, with_reading
from snath.shop.bench.jobs.reading_form import READ_OTHERWISE, StateForm, ticked_before
from snath.shop.bench.jobs.saving import save_change
from snath.shop.bench.measure.views import shown
from snath.shop.bench.preferences import DecimalMark, preferences_of
from snath.shop.bench.shelf.instruments import shop_instruments, with_instrument
from snath.shop.bench.words import said
from snath.shop.site.access import readers_may_post

MOST_RUNS, MOST_RATES = 20, 20
ALIKE = (
    ("1", gettext_lazy("one mark, on one place only")),
    ("2", gettext_lazy("nothing marked, two tips that look alike")),
    ("3", gettext_lazy("nothing marked, three that look alike")),
    ("4", gettext_lazy("nothing marked, four that look alike")),
)


class FlashFields(forms.Form):
    """The flash rates, and what was looked at."""

    rates = forms.CharField(
        label=gettext_lazy("Flash rates that showed ONE still image, per minute"),
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 4, "inputmode": "decimal"}),
        help_text=gettext_lazy("One run a line, the highest rate first, no single image left out: 3200 1600"),
    )
    alike = forms.ChoiceField(
        label=gettext_lazy("Looked at"), choices=ALIKE, widget=forms.RadioSelect, initial="1"
    )
    instrument = forms.ChoiceField(label=gettext_lazy("Read with"))


class FlashForm(FlashFields, ShopForm):
    """Flash rates on their own."""

    def __init__(self, *args: Any, instruments: Sequence[Instrument], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        name_instruments(self, instruments)


class JobFlashForm(StateForm, FlashFields):
    """Flash rates with the state of the machine."""

    def __init__(self, *args: Any, instruments: Sequence[Instrument], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        name_instruments(self, instruments)


def name_instruments(form: forms.Form, instruments: Sequence[Instrument]) -> None:
    """Stroboscopes of the shelf, and none of them."""
    named = [(i.id, i.name) for i in instruments if i.of_kind.counts == "flashes"]
    choices_of(form, "instrument", [*named, (READ_OTHERWISE, gettext("another, not on the shelf"))])


@readers_may_post
def strobe(request: HttpRequest) -> HttpResponse:
    """How to look, and a speed from flash rates; nothing is kept."""
    preferences, instruments = preferences_of(request), shop_instruments()
    form = FlashForm(request.POST or None, preferences=preferences, instruments=instruments)
    answer = None
    if request.method == "POST" and form.is_valid():
        reading = _reading(form, instruments, preferences.decimal_mark)
        answer = shown(reading, preferences) if reading else None
    context = {"form": form, "answer": answer}
    return render(request, "bench/measure/strobe.html", context, status=422 if form.errors else 200)


def job_strobe(request: HttpRequest, number: int) -> HttpResponse:
    """A reading by stroboscope for a job."""
    job = newest(number)
    preferences, instruments = preferences_of(request), shop_instruments()
    machine = job.job.machine
    form = JobFlashForm(
        request.POST or None,
        preferences=preferences,
        instruments=instruments,
        shafts=[(shaft, said(shaft)) for shaft in machine.shafts],
        machine=machine,
        initial=ticked_before(job.job),
    )
    if request.method == "POST" and form.is_valid():
        reading = _reading(
            form,
            instruments,
            preferences.decimal_mark,
            shaft=form.cleaned_data["shaft"],
            condition=form.condition_read,
            at=now(),
        )
        if reading is not None:
            stage, taken = form.cleaned_data["stage"], reading
            chosen = next((i for i in instruments if i.id == taken.instrument), None)
            return save_change(
                request,
                job,
                lambda kept: form.counted(with_reading(with_instrument(kept, chosen), stage, taken)),
                note=gettext("reading %(stage)s, by stroboscope") % {"stage": said(stage)},
                then="bench:job-verdict",
            )
    context = page(request, job, "reading", form=form)
    return render(request, "bench/measure/job_strobe.html", context, status=422 if form.errors else 200)


def _reading(
    form: forms.Form, instruments: Sequence[Instrument], mark: DecimalMark, **said_beside: Any
) -> Reading | None:
    """The reading, or None with the fault marked on the form."""
    given = form.cleaned_data
    chosen = next((i for i in instruments if i.id == given["instrument"]), None)
    try:
        runs = runs_of(given["rates"], mark)
        return flashed_reading(runs, instrument=chosen, alike=int(given["alike"]), **said_beside)
    except InputError as fault:
        form.add_error("rates", fault_words(fault, mark))
        return None


def runs_of(text: str, mark: DecimalMark) -> list[list[float]]:
    """Flash rates by run, in SI: a line is a run, spaces or semicolons part its rates."""
    lines = [line for line in text.splitlines() if line.strip()]
    runs = [re.split(r"[;\s]+", line.strip()) for line in lines]
    if len(runs) > MOST_RUNS or any(len(run) > MOST_RATES for run in runs):
        too_many = gettext("must be at most %(runs)d runs of %(rates)d rates") % {
            "runs": MOST_RUNS,
            "rates": MOST_RATES,
        }
        raise InputError("flash rates", len(runs), too_many)
    return [[_rate(rate, mark) for rate in run] for run in runs]


def _rate(text: str, mark: DecimalMark) -> float:
    rate = parse(text, dimension="rotation", field="flash rate", decimal_mark=mark, default_unit="rpm").value
    if rate <= 0:
        raise InputError("flash rate", text, gettext("must be above 0, in flashes per minute, such as 3200"))
    return rate
