"""Show and ask a stop test: a recording of the run-down, against the manual and the rows for such a machine."""

from dataclasses import replace
from typing import Any, ClassVar

from django import forms
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext, gettext_lazy

from snath.decisions.behaviour.from_tables import stop_input
from snath.decisions.behaviour.stop import CAUTIONS, devices
from snath.decisions.behaviour.tables import StopTable, TrackTable
from snath.formulas.signals.candidates import Track
from snath.quantities.errors import InputError
from snath.rules.kinds import TIPPED
from snath.shop.bench.fields import boxes_of, choices_of
from snath.shop.bench.jobs.kept import OpenJob
from snath.shop.bench.measure.film_fields import FilmFields
from snath.shop.bench.pictured import PICTURE_WIDTH, voice_of
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.running.entry import Made, RunningEntry, RunningForm, show_entry
from snath.shop.bench.running.recordings import chosen_recording, clip_field, on_the_job, track_of
from snath.shop.bench.running.typed import typed
from snath.shop.bench.words import said
from snath.shop.paper.stop_block import stop_block

box = boxes_of(StopTable)


class StopForm(FilmFields, RunningForm):
    """One stop test."""

    GROUPS: ClassVar = (
        (gettext_lazy("What stops it"), ("device", "blade_shaft")),
        (
            gettext_lazy("The run-down"),
            ("recording", "clip", *FilmFields.NAMES, "shaft", "release", "standstill"),
        ),
        (gettext_lazy("The maker's figure"), ("maker_limit", "manual")),
    )
    MORE: ClassVar = (gettext_lazy("How well the moments are known"), ("u_release", "u_standstill"))
    FAULTS: ClassVar = {"track": "recording"}

    device = forms.ChoiceField(label=gettext_lazy("Stopped by"), widget=forms.RadioSelect)
    blade_shaft = forms.ChoiceField(label=gettext_lazy("The blade sits on"))
    recording = forms.ChoiceField(label=gettext_lazy("Recording on this job"), required=False)
    clip = clip_field()
    shaft = forms.ChoiceField(
        label=gettext_lazy("It shows the speed of"),
        help_text=gettext_lazy("Only the blade's own shaft, or one it cannot part from, shows its stop."),
    )
    release = box(
        "release",
        gettext_lazy("Control let go at, s"),
        help_text=gettext_lazy("On the recording's clock: say it aloud, or have the hand in the picture."),
    )
    standstill = box("standstill", gettext_lazy("Seen to stand still at, s"))
    maker_limit = box("maker_limit", gettext_lazy("Stopping time in the manual, s"))
    manual = forms.CharField(label=gettext_lazy("Manual, edition and page"), max_length=200, required=False)
    u_release = box("u_release", gettext_lazy("Letting go, standard uncertainty, s"))
    u_standstill = box("u_standstill", gettext_lazy("Standstill, standard uncertainty, s"))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        machine, voice = self.job.job.machine, voice_of(self.preferences)
        shafts = [(shaft, said(shaft)) for shaft in machine.shafts]
        blades = dict.fromkeys(m.shaft for m in machine.members if m.kind in TIPPED)
        again = gettext("the one judged last") if self.job.job.behaviour.stop else ""
        choices_of(self, "recording", on_the_job(self.job, none=again))
        choices_of(self, "device", [(key, voice.term("device", key)) for key in devices()])
        choices_of(self, "blade_shaft", [(shaft, said(shaft)) for shaft in blades] or shafts)
        choices_of(self, "shaft", shafts)

    def before(self, job: OpenJob, preferences: Preferences) -> dict[str, Any]:
        blades = [m.shaft for m in job.job.machine.members if m.kind in TIPPED]
        saved = job.job.behaviour.stop
        if saved is None:
            return {"shaft": blades[0] if blades else None}
        return {
            "device": saved.device,
            "blade_shaft": saved.blade_shaft,
            "shaft": saved.track.shaft,
            **{event.kind: typed(event.t_s, "s", preferences, digits=2) for event in saved.track.events},
            "maker_limit": typed(saved.maker_limit, "s", preferences, digits=2),
            "manual": saved.maker_source,
        }


def stop(request: HttpRequest, number: int) -> HttpResponse:
    """The page."""
    return show_entry(request, number, ENTRY)


def _made(request: HttpRequest, form: StopForm, job: OpenJob) -> Made:
    kept, saved, machine = chosen_recording(request, form, job), job.job.behaviour.stop, job.job.machine

    def track(_row: object, shaft: str) -> Track:
        if kept is not None:
            return track_of(request, form, kept, machine=machine, shaft=shaft, told=form.told)
        if saved is not None and saved.track.shaft == shaft:
            return replace(saved.track, events=())
        raise InputError("recording", "nothing", gettext("choose a recording of the run-down, or give one"))

    given = stop_input(form.read(StopTable, form.filled(StopTable, *TrackTable.model_fields)), machine, track)
    return Made(lambda now: replace(now, stop=given), gettext("stop test"), kept)


def _shown(job: OpenJob, preferences: Preferences) -> dict[str, Any]:
    return {
        "stop": stop_block(job.job, job.result, voice_of(preferences), width=PICTURE_WIDTH),
        "cautions": [said(caution) for caution in CAUTIONS],
        "tests": [(voice_of(preferences).term("device", key), said(how)) for key, how in devices().items()],
    }


ENTRY = RunningEntry("stop", StopForm, _made, _shown)
