"""Show and ask how the governor holds its speed: two typed points or a recording, as found or as left."""

from dataclasses import replace
from typing import Any, ClassVar

from django import forms
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext, gettext_lazy

from snath.decisions.behaviour.asked import BehaviourInput
from snath.decisions.behaviour.from_tables import governor_input
from snath.decisions.behaviour.tables import BehaviourTables, GovernorTable
from snath.decisions.machine.sheet_fields import named
from snath.formulas.signals.candidates import Track
from snath.shop.bench.fields import boxes_of, choices_of
from snath.shop.bench.jobs.kept import OpenJob
from snath.shop.bench.jobs.reading_form import STAGES
from snath.shop.bench.measure.film_fields import FilmFields
from snath.shop.bench.pictured import PICTURE_WIDTH, voice_of
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.refusals import WholeField
from snath.shop.bench.running.entry import Made, RunningEntry, RunningForm, show_entry
from snath.shop.bench.running.recordings import chosen_recording, clip_field, on_the_job, track_of
from snath.shop.bench.running.typed import typed_speed
from snath.shop.paper.governor_block import governor_blocks

LOADS = (("no load", gettext_lazy("no load all the time")), ("loaded", gettext_lazy("loaded all the time")))

box = boxes_of(GovernorTable)


class GovernorForm(FilmFields, RunningForm):
    """What the governor was seen to do."""

    GROUPS: ClassVar = (
        (gettext_lazy("When"), ("stage",)),
        (gettext_lazy("Two speeds of the engine"), ("no_load", "loaded", "load", "wanted")),
        (
            gettext_lazy("Or a recording, 20 s and more"),
            ("recording", "clip", *FilmFields.NAMES, "track_load", "load_on", "load_off"),
        ),
    )
    MORE: ClassVar = (gettext_lazy("It drives an alternator"), ("poles", "frequency", "rated", "inverter"))
    FAULTS: ClassVar = {
        "track": "recording",
        "governor": "no_load",
        "rated_output": "rated",
        "wanted_loaded": "wanted",
    }

    stage = forms.ChoiceField(label=gettext_lazy("This is"), choices=STAGES, widget=forms.RadioSelect)
    no_load = box(
        "no_load",
        gettext_lazy("No load, rpm"),
        help_text=gettext_lazy("With its ± where you know it, as 3700 ± 10."),
    )
    loaded = box("loaded", gettext_lazy("Under load, rpm"))
    load = box("load", gettext_lazy("Load put on, kW"))
    wanted = boxes_of(BehaviourTables)(
        "wanted_loaded",
        gettext_lazy("The customer asks for, under load, rpm"),
        help_text=gettext_lazy("Answered with the no-load speed it takes, against the ceiling."),
    )
    recording = forms.ChoiceField(label=gettext_lazy("Recording on this job"), required=False)
    clip = clip_field()
    track_load = forms.ChoiceField(
        label=gettext_lazy("Where no change of load is marked, it ran with"), choices=LOADS, required=False
    )
    load_on = box(
        "load_on",
        gettext_lazy("Load came on at, s"),
        help_text=gettext_lazy("On the recording's clock. Empty where the load did not change."),
    )
    load_off = box("load_off", gettext_lazy("Load went off at, s"))
    poles = WholeField(label=gettext_lazy("Poles"), required=False, min_value=2, max_value=100)
    frequency = box("frequency", gettext_lazy("Rated frequency, Hz"))
    rated = box("rated", gettext_lazy("Rated output, kW"))
    inverter = forms.BooleanField(
        label=gettext_lazy("Inverter: makes its frequency apart from speed"), required=False
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices_of(self, "recording", on_the_job(self.job))

    def before(self, job: OpenJob, preferences: Preferences) -> dict[str, Any]:
        wanted = job.job.behaviour.wanted_loaded
        return {
            "wanted": typed_speed(wanted, preferences),
            "stage": "as left" if job.job.as_left.readings else "as found",
            "track_load": "no load",
        }

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        recorded = given.get("recording") or given.get("clip")
        if not (recorded or given.get("no_load") or given.get("loaded") or self.errors):
            self.add_error("no_load", gettext_lazy("Type two speeds, or give a recording."))
        return given

    def asked(self, part: str) -> dict[str, Any]:
        """What was typed, as the tables of a job have it."""
        row = self.filled(GovernorTable, "marks")
        row |= {name: [row[name]] for name in ("load_on", "load_off") if name in row}
        wanted = self.cleaned_data["wanted"]
        return {part: row} | ({} if wanted is None else {"wanted_loaded": wanted})


def governor(request: HttpRequest, number: int) -> HttpResponse:
    """The page."""
    return show_entry(request, number, ENTRY)


def _made(request: HttpRequest, form: GovernorForm, job: OpenJob) -> Made:
    kept, machine = chosen_recording(request, form, job), job.job.machine
    stage = form.cleaned_data["stage"]
    part = "governor_left" if stage == "as left" else "governor_found"
    asked = form.read(BehaviourTables, form.asked(part))
    row = getattr(asked, part)

    def track(_row: object, shaft: str) -> Track | None:
        if kept is None:
            return None
        return track_of(request, form, kept, machine=machine, shaft=shaft, told=form.told)

    given = governor_input(row, part, machine, track)
    wanted = None if asked.wanted_loaded is None else named(asked.wanted_loaded, "wanted_loaded")

    def change(now: BehaviourInput) -> BehaviourInput:
        return replace(now, wanted_loaded=wanted, **{part: given})  # type: ignore[arg-type]

    return Made(change, gettext("governor %(stage)s") % {"stage": dict(STAGES)[stage]}, kept)


def _shown(job: OpenJob, preferences: Preferences) -> dict[str, Any]:
    return {"blocks": governor_blocks(job.job, job.result, voice_of(preferences), width=PICTURE_WIDTH)}


ENTRY = RunningEntry("governor", GovernorForm, _made, _shown)
