"""Speed over time for a job's page: from a recording that is on the job, or from one given with the form."""

from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest
from django.utils.translation import gettext_lazy

from snath.decisions.machine.parts import Machine
from snath.formulas.signals.candidates import Track
from snath.quantities.errors import InputError
from snath.shop.bench.jobs.kept import OpenJob
from snath.shop.bench.measure.forms import CLIPS
from snath.shop.bench.measure.in_line import found_in
from snath.shop.media.recording import course_in
from snath.shop.media.request import ReadRequest
from snath.shop.media.track_file import read_track
from snath.shop.records.attachments import keep_recording, place_of
from snath.shop.records.models import Attachment, Person

NONE = gettext_lazy("none of them")
HEAD = b"t_s"  # how a track file begins; a pulse log holds bare times


def clip_field() -> forms.FileField:
    """A box for a recording from the phone."""
    return forms.FileField(
        label=gettext_lazy("Or a new recording"),
        required=False,
        widget=forms.FileInput(attrs={"accept": CLIPS}),
        help_text=gettext_lazy("Sound, film, a list of pulse times, or speed over time as CSV: t_s, rpm."),
    )


def on_the_job(job: OpenJob, *, none: str = "") -> list[tuple[str, Any]]:
    """Recordings kept on the job, newest first, to choose from; `none` says what choosing none of them means."""
    rows = job.record.attachments.filter(kind="recording").order_by("-at")
    return [("", none or NONE), *((row.sha256, row.name or row.sha256[:12]) for row in rows)]


def chosen_recording(request: HttpRequest, form: forms.Form, job: OpenJob) -> Attachment | None:
    """The recording given with the form, kept under its hash; else the one chosen; else none."""
    clip, sha256 = form.cleaned_data["clip"], form.cleaned_data["recording"]
    who = request.user
    assert isinstance(who, Person)
    if isinstance(clip, UploadedFile):
        try:
            return keep_recording(clip.chunks(), clip.name or "", who, job=job.record)
        except InputError as fault:
            raise InputError("clip", fault.given, fault.allowed) from None
    if not sha256:
        return None
    return job.record.attachments.filter(sha256=sha256, kind="recording").first()


def track_of(
    request: HttpRequest,
    form: forms.Form,
    kept: Attachment,
    *,
    machine: Machine,
    shaft: str,
    told: dict[str, Any],
) -> Track:
    """Speed of that shaft over time, for the form that asks; `told` is what was said of a film or of pulses.

    Raises
    ------
    InputError
        Where the recording cannot be read, or shows no speed over time.
    """
    place = place_of(kept.sha256)
    with place.open("rb") as file:
        is_track = HEAD in file.read(64)
    try:
        if is_track:
            return read_track(str(place), shaft=shaft)
        asked = ReadRequest(machine=machine, shaft=shaft, **told)
        found = found_in(
            request, form, source=kept.sha256, name=kept.name, asked=asked, recording=kept.sha256
        )
        return course_in(found.track, several=found.several, shaft=shaft, name=kept.name)
    except InputError as fault:
        raise InputError("recording", kept.name, fault.allowed) from None
