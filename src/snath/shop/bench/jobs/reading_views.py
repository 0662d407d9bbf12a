"""A reading for a job: typed from a tachometer's display."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext

from snath.decisions.machine.parts import Engine
from snath.decisions.reading.inductive import inductive_reading
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.reading import Reading
from snath.decisions.reading.typed import typed_reading
from snath.quantities.errors import InputError
from snath.shop.bench.drafts import draft_of, fill
from snath.shop.bench.fields import fault_words
from snath.shop.bench.jobs.kept import OpenJob, newest
from snath.shop.bench.jobs.page import now, page, with_reading
from snath.shop.bench.jobs.reading_form import READ_OTHERWISE, ReadingForm
from snath.shop.bench.jobs.saving import save_change
from snath.shop.bench.liking import liking_of
from snath.shop.bench.shelf.instruments import shop_instruments, with_instrument
from snath.shop.bench.words import said
from snath.shop.bench.yard.entries import boxes_from_yard, file_away


def reading(request: HttpRequest, number: int) -> HttpResponse:
    """The form, and what it makes of a reading."""
    job = newest(number)
    instruments = shop_instruments()
    draft = draft_of(request, f"job:{number}:reading")
    form = ReadingForm(
        request.POST or None,
        liking=liking_of(request),
        shafts=[(shaft, said(shaft)) for shaft in job.job.machine.shafts],
        instruments=instruments,
        machine=job.job.machine,
        initial={"stage": "as left" if job.job.as_found.readings else "as found"} | boxes_from_yard(request),
    )
    if request.method != "POST":
        if "yard" not in request.GET:
            fill(form, draft)
    elif form.is_valid():
        chosen = next((i for i in instruments if i.id == form.cleaned_data["instrument"]), _unshelved(form))
        taken = _reading(form, chosen, job.job.machine.engine)
        if taken is not None:
            return save_change(
                request,
                job,
                lambda now: form.counted(
                    with_reading(with_instrument(now, chosen), form.cleaned_data["stage"], taken)
                ),
                note=gettext("reading %(stage)s") % {"stage": said(form.cleaned_data["stage"])},
                then="bench:job-verdict",
                draft=draft,
                also=lambda: file_away(request, str(number)),
            )
    status = 422 if form.errors else 200
    return render(request, "bench/jobs/reading.html", _context(request, job, form, draft.at), status=status)


def _unshelved(form: ReadingForm) -> Instrument | None:
    """A tachometer that is not on the shelf: known by its plus-or-minus only, never checked here."""
    good_to = form.cleaned_data["plus_minus"]
    if good_to is None:
        return None
    name = gettext("tachometer not on the shelf")
    return Instrument(id=READ_OTHERWISE, name=name, kind="other", digits=good_to.measured.value)


def _reading(form: ReadingForm, instrument: Instrument | None, engine: Engine) -> Reading | None:
    """The reading, or None with the fault marked on the form."""
    given = form.cleaned_data
    hunting = given["hunting"].measured.value if given["hunting"] else None
    said_beside: dict[str, Any] = {"condition": form.condition_read, "at": now(), "hunting": hunting}
    try:
        if instrument is not None and instrument.kind == "inductive":
            return inductive_reading(form.repeats, engine=engine, instrument=instrument, **said_beside)
        return typed_reading(form.repeats, shaft=given["shaft"], instrument=instrument, **said_beside)
    except InputError as fault:
        form.add_error("speed_1", fault_words(fault, form.liking.decimal_mark))
        return None


def _context(request: HttpRequest, job: OpenJob, form: ReadingForm, draft_at: float) -> dict[str, object]:
    return page(
        request, job, "reading", form=form, draft_key=f"job:{job.record.number}:reading", draft_at=draft_at
    )
