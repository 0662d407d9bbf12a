"""A reading for a job: typed from a tachometer's display."""

from collections.abc import Sequence
from functools import cache
from typing import Any

from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext

from snath.decisions.job.job import Stage
from snath.decisions.machine.parts import Engine
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.reading import Reading
from snath.decisions.reading.shown import shown_reading
from snath.quantities.errors import InputError
from snath.shop.bench.drafts import draft_of, fill, untouched
from snath.shop.bench.fields import fault_words
from snath.shop.bench.jobs.kept import OpenJob, newest
from snath.shop.bench.jobs.page import now, page, with_reading
from snath.shop.bench.jobs.reading_form import ReadingForm, ticked_before
from snath.shop.bench.jobs.saving import save_change
from snath.shop.bench.preferences import preferences_of
from snath.shop.bench.shelf.instruments import shop_instruments, with_instrument
from snath.shop.bench.words import said
from snath.shop.bench.yard.entries import boxes_from_yard, file_away


def reading(request: HttpRequest, number: int) -> HttpResponse:
    """The form, and what it makes of a reading."""
    job = newest(number)
    instruments = shop_instruments()
    draft = draft_of(request, f"job:{number}:reading")

    @cache
    def form() -> ReadingForm:
        made = ReadingForm(
            request.POST or None,
            preferences=preferences_of(request),
            shafts=[(shaft, said(shaft)) for shaft in job.job.machine.shafts],
            instruments=instruments,
            machine=job.job.machine,
            initial=boxes_from_yard(request) or ticked_before(job.job) | _again(request, job),
        )
        if not made.is_bound and "yard" not in request.GET:
            fill(made, draft)
        return made

    sent = request.method == "POST"
    if sent and form().is_valid():
        chosen, taken = _taken(form(), instruments, job.job.machine.engine)
        if taken is not None:
            return save_change(
                request,
                job,
                lambda now: form().counted(
                    with_reading(with_instrument(now, chosen), form().cleaned_data["stage"], taken)
                ),
                note=gettext("reading %(stage)s") % {"stage": said(form().cleaned_data["stage"])},
                then="bench:job-verdict",
                form=form(),
                draft=draft,
                also=lambda: file_away(request, str(number)),
            )
    context = page(
        request,
        job,
        "reading",
        form=form,
        draft_key=draft.key,
        draft_at=draft.at,
        as_new=untouched(request, draft, instruments),
    )
    return render(request, "bench/jobs/reading.html", context, status=422 if sent and form().errors else 200)


def _taken(
    form: ReadingForm, instruments: Sequence[Instrument], engine: Engine
) -> tuple[Instrument | None, Reading | None]:
    """The instrument and its reading; a new instrument is on the shelf only if the reading holds."""
    with transaction.atomic():
        chosen = form.instrument_in(instruments)
        taken = _reading(form, chosen, engine)
        if taken is None:
            transaction.set_rollback(True)
    return chosen, taken


def _reading(form: ReadingForm, instrument: Instrument | None, engine: Engine) -> Reading | None:
    """The reading, or None with the fault marked on the form."""
    given = form.cleaned_data
    hunting = given["hunting"].measured.value if given["hunting"] else None
    said_beside: dict[str, Any] = {"condition": form.condition_read, "at": now(), "hunting": hunting}
    try:
        return shown_reading(
            form.repeats, engine=engine, instrument=instrument, shaft=given["shaft"], **said_beside
        )
    except InputError as fault:
        form.add_error("speed_1", fault_words(fault, form.preferences.decimal_mark))
        return None


def _again(request: HttpRequest, job: OpenJob) -> dict[str, str]:
    """Where, while what and with what the reading was taken that is to be repeated."""
    stage, place = request.GET.get("stage", ""), request.GET.get("again", "")
    readings = {"as found": job.job.as_found, "as left": job.job.as_left}.get(stage, Stage()).readings
    if not place.isdecimal() or len(place) > 4 or int(place) >= len(readings):
        return {}
    like = readings[int(place)]
    same = {"stage": stage, "condition": like.condition, "shaft": like.shaft, "instrument": like.instrument}
    return {name: value for name, value in same.items() if value}
