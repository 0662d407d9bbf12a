"""Measure from the page: a clip, live sound, a stroboscope; for a job, or just to know."""

from dataclasses import replace
from typing import Any

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
from snath.shop.bench.fields import choices_of
from snath.shop.bench.jobs.kept import OpenJob, newest
from snath.shop.bench.jobs.page import now, page, with_evidence, with_reading
from snath.shop.bench.jobs.reading_form import ticked_before
from snath.shop.bench.jobs.saving import save_change
from snath.shop.bench.measure.forms import ClipForm, ListenForm
from snath.shop.bench.measure.held_clips import clip_in, gone
from snath.shop.bench.measure.in_line import found_in, waits_in_line
from snath.shop.bench.measure.phones import comparisons_folder, phone_words
from snath.shop.bench.measure.sessions import heard_as_wav
from snath.shop.bench.measure.stretches import BOXES, entries, mark_fault, offered, put, stretch_in
from snath.shop.bench.preferences import Preferences, preferences_of
from snath.shop.bench.running.recordings import on_the_job
from snath.shop.bench.words import percent, said
from snath.shop.media.comparisons import kept_comparisons
from snath.shop.media.request import ReadRequest
from snath.shop.media.told import plateaus_from_json, plateaus_to_json
from snath.shop.records.attachments import CHUNK, LARGEST_RECORDING, keep_recording
from snath.shop.records.held_clips import source_of
from snath.shop.records.models import Attachment, HeldClip, Person
from snath.shop.site.access import readers_may_post


@readers_may_post
@waits_in_line
def measure(request: HttpRequest) -> HttpResponse:
    """Listen, or give a clip, without a job; nothing is kept."""
    preferences = preferences_of(request)
    form = ClipForm(entries(request), request.FILES or None, preferences=preferences)
    answer = clip = None
    if form.is_bound:
        sound = form.is_valid()
        clip = clip_in(request, form)
        if sound and clip is None:
            form.add_error("clip", gone())
        elif sound and clip is not None:
            answer = _answered(request, clip, form, preferences)
    offers = offered(plateaus_from_json(clip.plateaus), preferences, form) if clip else []
    context = {"form": form, "answer": answer, "held_name": clip.name if clip else "", "offers": offers}
    return render(request, "bench/measure/measure.html", context, status=422 if form.errors else 200)


def _answered(
    request: HttpRequest, clip: HeldClip, form: ClipForm, preferences: Preferences
) -> dict[str, Any] | None:
    """What the clip says as the page shows it; None with the fault marked on the form."""
    begin, end = stretch_in(form)
    try:
        asked = ReadRequest(
            machine=form.machine,
            comparisons=kept_comparisons(comparisons_folder()),
            recorder=form.recorder,
            begin_s=begin,
            end_s=end,
            **form.told,
        )
        reading = found_in(request, form, source=clip.sha256, name=clip.name, asked=asked).reading
        words = phone_words(reading, form.recorder)
    except InputError as fault:
        mark_fault(form, fault, preferences.decimal_mark)
        return None
    if not asked.part:
        clip.plateaus = plateaus_to_json(reading.plateaus)
        clip.save(update_fields=["plateaus"])
    return {**shown(reading, preferences), "phone": words}


@waits_in_line
def listen(request: HttpRequest, number: int) -> HttpResponse:
    """Listen, or give a clip, for a job: kept with its hash, and judged, once it is one speed that was held."""
    job, preferences = newest(number), preferences_of(request)
    machine = job.job.machine
    form = ListenForm(
        entries(request),
        request.FILES or None,
        preferences=preferences,
        shafts=[(shaft, said(shaft)) for shaft in machine.shafts],
        machine=machine,
        initial=ticked_before(job.job),
    )
    choices_of(form, "recording", on_the_job(job))
    more: dict[str, Any] = {}
    if form.is_bound and form.is_valid():
        kept: Attachment | None = None
        try:
            kept = _kept(request, form, job)
            _chosen_again(form, job, kept)
            asked = _asked(form, machine)
            reading = found_in(request, form, source=kept.sha256, name=kept.name, asked=asked).reading
        except InputError as fault:
            mark_fault(form, fault, preferences.decimal_mark)
            if kept is not None and fault.field not in BOXES:
                put(form, recording="")
        else:
            if not reading.several_held:
                return _judged(request, job, form, kept, reading)
            more = {
                "answer": shown(reading, preferences),
                "offers": offered(reading.plateaus, preferences, form),
            }
    elif form.is_bound and (clip := clip_in(request, form)):
        more = {"held_name": clip.name}
    context = page(request, job, "reading", form=form, **more)
    return render(request, "bench/measure/listen.html", context, status=422 if form.errors else 200)


def _chosen_again(form: ListenForm, job: OpenJob, kept: Attachment) -> None:
    """Where the page is shown again it has the recording that is on the job by now: it need not be given again."""
    choices_of(form, "recording", on_the_job(job))
    put(form, recording=kept.sha256, session="", held="")


def _kept(request: HttpRequest, form: ListenForm, job: OpenJob) -> Attachment:
    """The recording on disk, under its hash."""
    who, given = request.user, form.cleaned_data
    assert isinstance(who, Person)
    if isinstance(given["clip"], UploadedFile):
        clip = given["clip"]
        if clip.size and clip.size > LARGEST_RECORDING:
            too_long = gettext("must be at most %(mb)d MB") % {"mb": LARGEST_RECORDING // 1_000_000}
            raise InputError("clip", clip.name, too_long)
        return keep_recording(clip.chunks(), clip.name or "", who, job=job.record)
    if given["session"]:
        wave = heard_as_wav(f"{who.pk}:{given['session']}")
        return keep_recording([wave], "live.wav", who, job=job.record, note=gettext("heard live"))
    if given["held"]:
        held = clip_in(request, form)
        source = source_of(held.sha256) if held else None
        if held is None or source is None:
            raise InputError("clip", gettext("nothing"), gone())
        with source.open("rb") as file:
            return keep_recording(iter(lambda: file.read(CHUNK), b""), held.name, who, job=job.record)
    on_it = job.record.attachments.filter(sha256=given["recording"], kind="recording").first()
    assert on_it is not None  # it was among the choices
    return on_it


def _asked(form: ListenForm, machine: Machine) -> ReadRequest:
    begin, end = stretch_in(form)
    return ReadRequest(
        machine=machine,
        shaft=form.cleaned_data["shaft"],
        condition=form.condition_read,
        comparisons=kept_comparisons(comparisons_folder()),
        recorder=form.recorder,
        begin_s=begin,
        end_s=end,
        **form.told,
    )


def _judged(
    request: HttpRequest, job: OpenJob, form: ListenForm, kept: Attachment, reading: Reading
) -> HttpResponse:
    stage = form.cleaned_data["stage"]
    evidence = Evidence(kept.sha256, kept.media, note=kept.name)
    moment = now()

    def change(job_now: Job) -> Job:
        taken = dated(reading, moment, kept.sha256)
        return form.counted(with_evidence(with_reading(job_now, stage, taken), evidence))

    note = gettext("reading %(stage)s, from a recording") % {"stage": said(stage)}
    return save_change(request, job, change, note=note, then="bench:job-verdict")


def dated(reading: Reading, at: str, evidence: str) -> Reading:
    """The reading with its moment and the hash of what it was read from."""
    return replace(reading, at=at, evidence=evidence)


def shown(reading: Reading, preferences: Preferences) -> dict[str, Any]:
    """A reading as a page shows it: one speed with its doubt, or every speed that fits."""
    value = reading.value
    return {
        "speed": show.speed(value.value, preferences, digits=1) if value else None,
        "rpm": in_unit(value.value, "rpm") if value else None,
        "doubt": show.spread(2 * value.u, preferences) if value else None,
        "why": said(reading.why, preferences),
        "confirmed": reading.confirmed,
        "several_held": reading.several_held,
        "next_steps": [said(step, preferences) for step in reading.next_steps],
        "asks_marks": not reading.decided and reading.method in ("light", "fused", "pulses"),
        "hunting": show.speed(reading.hunting, preferences, round="up"),
        "candidates": [
            {
                "speed": show.speed(candidate.rev_s, preferences),
                "weight": percent(candidate.weight, preferences),
                "order": said(candidate.order, preferences),
            }
            for candidate in reading.candidates[:6]
        ],
    }
