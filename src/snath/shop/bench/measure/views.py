"""Measure from the page: a clip, live sound, a stroboscope; for a job, or just to know."""

from dataclasses import replace
from typing import Any

from django.conf import settings
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext

from snath.decisions.job.job import Evidence, Job
from snath.decisions.machine.parts import Machine
from snath.decisions.reading.reading import Reading
from snath.quantities.errors import InputError
from snath.quantities.units import in_unit
from snath.shop.bench import show
from snath.shop.bench.fields import fault_words
from snath.shop.bench.jobs.kept import OpenJob, newest
from snath.shop.bench.jobs.page import now, page, with_evidence, with_reading
from snath.shop.bench.jobs.saving import save_change
from snath.shop.bench.liking import Liking, liking_of
from snath.shop.bench.measure.forms import ClipForm, ListenForm
from snath.shop.bench.measure.sessions import heard_as_wav
from snath.shop.bench.words import percent, said
from snath.shop.media.comparisons import kept_comparisons
from snath.shop.media.recording import Asked, Read, read_recording
from snath.shop.records.attachments import LARGEST_RECORDING, keep_recording, place_of
from snath.shop.records.models import Attachment, Person
from snath.shop.site.access import readers_may_post

READ_AT_ONCE = 60_000_000  # bytes of a clip that is only looked at and not kept


@readers_may_post
def measure(request: HttpRequest) -> HttpResponse:
    """Listen, or give a clip, without a job; nothing is kept."""
    form = ClipForm(request.POST or None, request.FILES or None)
    answer = None
    if request.method == "POST" and form.is_valid():
        clip = form.cleaned_data["clip"]
        try:
            if clip.size > READ_AT_ONCE:
                too_long = gettext("must be at most %(mb)d MB") % {"mb": READ_AT_ONCE // 1_000_000}
                raise InputError("clip", clip.name, too_long)
            answer = shown(read_recording(clip.read()).reading, liking_of(request))
        except InputError as fault:
            form.add_error("clip", fault_words(fault, liking_of(request).decimal_mark))
    context = {"form": form, "answer": answer}
    return render(request, "bench/measure/measure.html", context, status=422 if form.errors else 200)


def listen(request: HttpRequest, number: int) -> HttpResponse:
    """Listen, or give a clip, for a job: kept with its hash, and judged."""
    job = newest(number)
    machine = job.job.machine
    form = ListenForm(
        request.POST or None,
        request.FILES or None,
        liking=liking_of(request),
        shafts=[(shaft, said(shaft)) for shaft in machine.shafts],
        clutch=machine.engine.clutch,
        initial={"stage": "as left" if job.job.as_found.readings else "as found"},
    )
    if request.method == "POST" and form.is_valid():
        try:
            kept = _kept(request, form, job)
            found = read_recording(place_of(kept.sha256), _asked(form, machine))
        except InputError as fault:
            form.add_error("clip", fault_words(fault, liking_of(request).decimal_mark))
        else:
            return _judged(request, job, form, kept, found)
    context = page(request, job, "reading", form=form)
    return render(request, "bench/measure/listen.html", context, status=422 if form.errors else 200)


def _kept(request: HttpRequest, form: ListenForm, job: OpenJob) -> Attachment:
    """The recording on disk, under its hash."""
    who, clip = request.user, form.cleaned_data["clip"]
    assert isinstance(who, Person)
    if isinstance(clip, UploadedFile):
        if clip.size and clip.size > LARGEST_RECORDING:
            too_long = gettext("must be at most %(mb)d MB") % {"mb": LARGEST_RECORDING // 1_000_000}
            raise InputError("clip", clip.name, too_long)
        return keep_recording(clip.chunks(), clip.name or "", who, job=job.record)
    wave = heard_as_wav(f"{who.pk}:{form.cleaned_data['session']}")
    return keep_recording([wave], "live.wav", who, job=job.record, note=gettext("heard live"))


def _asked(form: ListenForm, machine: Machine) -> Asked:
    return Asked(
        machine=machine,
        shaft=form.cleaned_data["shaft"],
        condition=form.condition_read,
        comparisons=kept_comparisons(settings.FOLDER.path),
    )


def _judged(
    request: HttpRequest, job: OpenJob, form: ListenForm, kept: Attachment, found: Read
) -> HttpResponse:
    stage = form.cleaned_data["stage"]
    evidence = Evidence(kept.sha256, kept.media, note=kept.name)
    moment = now()

    def change(job_now: Job) -> Job:
        taken = dated(found.reading, moment, kept.sha256)
        return with_evidence(with_reading(job_now, stage, taken), evidence)

    note = gettext("reading %(stage)s, from a recording") % {"stage": said(stage)}
    return save_change(request, job, change, note=note, then="bench:job-verdict")


def dated(reading: Reading, at: str, evidence: str) -> Reading:
    """The reading with its moment and the hash of what it was read from."""
    return replace(reading, at=at, evidence=evidence)


def shown(reading: Reading, liking: Liking) -> dict[str, Any]:
    """A reading as a page shows it: one speed with its doubt, or every speed that fits."""
    value = reading.value
    return {
        "speed": show.speed(value.value, liking, digits=1) if value else None,
        "rpm": in_unit(value.value, "rpm") if value else None,
        "doubt": show.speed(2 * value.u, liking, round="up", digits=1) if value else None,
        "why": said(reading.why, liking.decimal_mark),
        "next_steps": [said(step, liking.decimal_mark) for step in reading.next_steps],
        "hunting": show.speed(reading.hunting, liking, round="up"),
        "candidates": [
            {
                "speed": show.speed(candidate.rev_s, liking),
                "weight": percent(candidate.weight, liking),
                "order": said(candidate.order, liking.decimal_mark),
            }
            for candidate in reading.candidates[:6]
        ],
    }
