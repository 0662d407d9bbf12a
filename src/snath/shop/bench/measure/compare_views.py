"""A recording held beside a tachometer: what a shop's own comparisons add to the doubt, and when they lift it."""

from dataclasses import dataclass
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext, gettext_lazy

from snath.decisions.reading.compared import ENOUGH, Comparison, checked
from snath.decisions.reading.reading import Reading
from snath.decisions.reading.typed import typed_reading
from snath.quantities.errors import InputError
from snath.shop.bench import show
from snath.shop.bench.fields import QuantityField, ShopForm, choices_of
from snath.shop.bench.jobs.kept import OpenJob, newest
from snath.shop.bench.jobs.page import now, page
from snath.shop.bench.measure.film_fields import FilmFields
from snath.shop.bench.measure.forms import CLIPS
from snath.shop.bench.measure.held_clips import gone
from snath.shop.bench.measure.in_line import found_in, waits_in_line
from snath.shop.bench.measure.phones import PhoneFields, comparisons_folder, known_phones
from snath.shop.bench.measure.stretches import StretchFields, entries, mark_fault, stretch_in
from snath.shop.bench.preferences import Preferences, preferences_of
from snath.shop.bench.shelf.instruments import shop_instruments
from snath.shop.bench.words import said, share_words
from snath.shop.media.comparisons import keep_comparison, kept_comparisons
from snath.shop.media.request import ReadRequest
from snath.shop.records.attachments import keep_recording
from snath.shop.records.models import Attachment
from snath.shop.site.access import known_person

METHODS = ("sound", "pulses", "light", "fused")
SPEEDS = ("speed_1", "speed_2", "speed_3")


class CompareForm(StretchFields, FilmFields, PhoneFields, ShopForm):
    """A clip of the engine, and what the tachometer showed meanwhile."""

    recording = forms.CharField(required=False, max_length=64, widget=forms.HiddenInput)  # kept on the job
    clip = forms.FileField(
        label=gettext_lazy("Clip from the phone"),
        required=False,
        widget=forms.FileInput(attrs={"accept": CLIPS}),
    )
    instrument = forms.ChoiceField(label=gettext_lazy("Tachometer"))
    speed_1 = QuantityField("rotation", default_unit="rpm", label=gettext_lazy("It showed, rpm"))
    speed_2 = QuantityField("rotation", default_unit="rpm", label=gettext_lazy("Second"), required=False)
    speed_3 = QuantityField("rotation", default_unit="rpm", label=gettext_lazy("Third"), required=False)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if not given.get("clip") and not given.get("recording") and "clip" not in self.errors:
            self.add_error("clip", self.fields["clip"].error_messages["required"])
        return given


@dataclass(frozen=True, slots=True)
class Compared:
    """A comparison and what all of its kind come to, as the page says it."""

    recorded: show.Shown | None
    tachometer: show.Shown | None
    off: str
    method: str
    state: str
    contradicts: bool


@waits_in_line
def compare(request: HttpRequest, number: int) -> HttpResponse:
    """Keep a recording beside a tachometer reading of the crankshaft taken at the same time."""
    job = newest(number)
    preferences, instruments = preferences_of(request), shop_instruments()
    form = CompareForm(entries(request), request.FILES or None, preferences=preferences)
    choices_of(form, "instrument", [(i.id, i.name) for i in instruments])
    answer = None
    if request.method == "POST" and form.is_valid():
        try:
            answer = _compared(request, form, job, preferences)
        except InputError as fault:
            mark_fault(form, fault, preferences.decimal_mark)
    counts = [_state(method, preferences, phone) for phone in ("", *known_phones()) for method in METHODS]
    context = page(request, job, "reading", form=form, answer=answer, counts=[c for c in counts if c])
    return render(request, "bench/measure/compare.html", context, status=422 if form.errors else 200)


def _compared(request: HttpRequest, form: CompareForm, job: OpenJob, preferences: Preferences) -> Compared:
    kept = _kept(request, form, job)
    begin, end = stretch_in(form)
    asked = ReadRequest(machine=job.job.machine, begin_s=begin, end_s=end, **form.told)
    reading = found_in(
        request, form, source=kept.sha256, name=kept.name, asked=asked, recording=kept.sha256
    ).reading
    if not reading.decided:
        raise InputError(
            "clip", kept.name, gettext("leaves several speeds open: there is nothing to compare")
        )
    if any(known.evidence == kept.sha256 for known in kept_comparisons(comparisons_folder())):
        raise InputError(
            "clip", kept.name, gettext("was compared already: each comparison needs its own clip")
        )
    one = _comparison(form.cleaned_data, reading, kept.sha256, form.recorder)
    keep_comparison(comparisons_folder(), one)
    check = checked(kept_comparisons(comparisons_folder()), one.method, recorder=one.recorder)
    return Compared(
        recorded=show.speed(one.recorded, preferences, digits=1),
        tachometer=show.speed(one.tachometer, preferences, digits=1),
        off=share_words(one.off, preferences),
        method=said(one.method),
        state=_state(one.method, preferences, one.recorder),
        contradicts=check.contradicts,
    )


def _kept(request: HttpRequest, form: CompareForm, job: OpenJob) -> Attachment:
    """The clip on disk; one that was sent before is on the job already."""
    clip, sha256 = form.cleaned_data["clip"], form.cleaned_data["recording"]
    if clip is not None:
        note = gettext("beside a tachometer")
        return keep_recording(clip.chunks(), clip.name, known_person(request), job=job.record, note=note)
    kept = job.record.attachments.filter(sha256=sha256, kind="recording").first()
    if kept is None:
        raise InputError("clip", gettext("nothing"), gone())
    return kept


def _comparison(given: dict[str, Any], reading: Reading, evidence: str, recorder: str) -> Comparison:
    instrument = next(i for i in shop_instruments() if i.id == given["instrument"])
    speeds = [given[name].measured.value for name in SPEEDS if given[name]]
    typed, recorded = typed_reading(speeds, instrument=instrument).value, reading.value
    assert typed is not None
    assert recorded is not None
    return Comparison(
        method=reading.method,
        recorded=recorded.value,
        u_recorded=recorded.u,
        tachometer=typed.value,
        u_tachometer=typed.u,
        instrument=instrument.id,
        at=now(),
        evidence=evidence,
        recorder=recorder,
    )


def _state(method: str, preferences: Preferences, phone: str) -> str:
    """How far a method, by one phone where it is named, counts as checked here; empty where it was never compared."""
    check = checked(kept_comparisons(comparisons_folder()), method, recorder=phone)
    if not check.count:
        return ""
    name = f"{phone} ({said(method)})" if phone else said(method)
    words = {"method": name, "count": check.count, "wanted": ENOUGH}
    if check.contradicts:
        return (
            gettext("%(method)s: a comparison contradicts it. Look for a wrong multiple or another shaft.")
            % words
        )
    if check.agrees:
        off = share_words(check.mean_off, preferences)
        return gettext(
            "%(method)s: %(count)d comparisons agree (%(off)s off on average). It counts as checked here."
        ) % {
            **words,
            "off": off,
        }
    return gettext("%(method)s: %(count)d of %(wanted)d comparisons so far.") % words
