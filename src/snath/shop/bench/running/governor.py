"""Does the speed hold? Two typed points, or a recording, as found or as left."""

from dataclasses import replace
from typing import Any, ClassVar

from django import forms
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext, gettext_lazy

from snath.decisions.behaviour.behaviour import BehaviourInput
from snath.decisions.behaviour.governor import Alternator, GovernorInput
from snath.decisions.machine.parts import CRANKSHAFT
from snath.formulas.signals.candidates import Event, Track
from snath.quantities.errors import InputError
from snath.quantities.measured import Line, Measured
from snath.quantities.units import Quantity
from snath.shop.bench.fields import QuantityField
from snath.shop.bench.jobs.kept import OpenJob
from snath.shop.bench.jobs.reading_form import STAGES
from snath.shop.bench.liking import Liking
from snath.shop.bench.measure.film_fields import FilmFields
from snath.shop.bench.pictured import PICTURE_WIDTH, voice_of
from snath.shop.bench.refusals import WholeField
from snath.shop.bench.running.entry import Made, Part, RunningForm, asked, choices_of
from snath.shop.bench.running.recordings import chosen, clip_field, on_the_job, track_of
from snath.shop.bench.running.typed import typed_speed
from snath.shop.paper.governor_block import governor_blocks
from snath.shop.records.models import Attachment

LOADS = (("no load", gettext_lazy("no load all the time")), ("loaded", gettext_lazy("loaded all the time")))


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
    FAULTS: ClassVar = {"track": "recording", "governor": "no_load", "rated_output": "rated"}

    stage = forms.ChoiceField(label=gettext_lazy("This is"), choices=STAGES, widget=forms.RadioSelect)
    no_load = QuantityField(
        "rotation",
        default_unit="rpm",
        label=gettext_lazy("No load, rpm"),
        required=False,
        help_text=gettext_lazy("With its ± where you know it, as 3700 ± 10."),
    )
    loaded = QuantityField(
        "rotation", default_unit="rpm", label=gettext_lazy("Under load, rpm"), required=False
    )
    load = QuantityField("power", default_unit="kW", label=gettext_lazy("Load put on, kW"), required=False)
    wanted = QuantityField(
        "rotation",
        default_unit="rpm",
        label=gettext_lazy("The customer asks for, under load, rpm"),
        required=False,
        help_text=gettext_lazy("Answered with the no-load speed it takes, against the ceiling."),
    )
    recording = forms.ChoiceField(label=gettext_lazy("Recording on this job"), required=False)
    clip = clip_field()
    track_load = forms.ChoiceField(
        label=gettext_lazy("Where no change of load is marked, it ran with"), choices=LOADS, required=False
    )
    load_on = QuantityField(
        "time",
        default_unit="s",
        label=gettext_lazy("Load came on at, s"),
        required=False,
        help_text=gettext_lazy("On the recording's clock. Empty where the load did not change."),
    )
    load_off = QuantityField(
        "time", default_unit="s", label=gettext_lazy("Load went off at, s"), required=False
    )
    poles = WholeField(label=gettext_lazy("Poles"), required=False, min_value=2, max_value=100)
    frequency = QuantityField(
        "frequency", default_unit="Hz", label=gettext_lazy("Rated frequency, Hz"), required=False
    )
    rated = QuantityField("power", default_unit="kW", label=gettext_lazy("Rated output, kW"), required=False)
    inverter = forms.BooleanField(
        label=gettext_lazy("Inverter: makes its frequency apart from speed"), required=False
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices_of(self, "recording", on_the_job(self.job))

    def before(self, job: OpenJob, liking: Liking) -> dict[str, Any]:
        wanted = job.job.behaviour.wanted_loaded
        return {
            "wanted": typed_speed(wanted, liking),
            "stage": "as left" if job.job.as_left.readings else "as found",
            "track_load": "no load",
        }

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        recorded = given.get("recording") or given.get("clip")
        if not (recorded or given.get("no_load") or given.get("loaded") or self.errors):
            self.add_error("no_load", gettext_lazy("Type two speeds, or give a recording."))
        for name in ("load_on", "load_off"):
            if given.get(name) and not recorded:
                self.add_error(name, gettext_lazy("Belongs to a recording; none is given."))
        if given.get("poles") is None and given.get("frequency") and not given.get("inverter"):
            self.add_error("poles", gettext_lazy("Must be given with a frequency."))
        return given


def governor(request: HttpRequest, number: int) -> HttpResponse:
    """The page."""
    return asked(request, number, PART)


def _made(request: HttpRequest, form: GovernorForm, job: OpenJob) -> Made:
    kept = chosen(request, form, job)
    stage = form.cleaned_data["stage"]
    given = GovernorInput(
        no_load=_speed(form.cleaned_data["no_load"], f"{stage}, no load"),
        loaded=_speed(form.cleaned_data["loaded"], f"{stage}, loaded"),
        track=_track(request, form, job, kept) if kept else None,
        track_load=form.cleaned_data["track_load"] or "no load",
        load_w=form.si("load"),
        rated_w=form.si("rated"),
        alternator=_alternator(form),
    )
    wanted = _speed(form.cleaned_data["wanted"], "wished for under load")
    part = "governor_left" if stage == "as left" else "governor_found"

    def change(now: BehaviourInput) -> BehaviourInput:
        return replace(now, wanted_loaded=wanted, **{part: given})  # type: ignore[arg-type]

    return Made(change, gettext("governor %(stage)s") % {"stage": dict(STAGES)[stage]}, kept)


def _speed(quantity: Quantity | None, source: str) -> Measured | None:
    """Its doubt named after its box, so that two readings are not one shared cause."""
    if quantity is None:
        return None
    lines = tuple(Line(source, line.u, line.dof, line.distribution) for line in quantity.measured.lines)
    return Measured(quantity.measured.value, lines)


def _track(request: HttpRequest, form: GovernorForm, job: OpenJob, kept: Attachment) -> Track:
    track = track_of(request, form, kept, machine=job.job.machine, shaft=CRANKSHAFT, told=form.told)
    marks = (("load on", form.si("load_on")), ("load off", form.si("load_off")))
    marked = [Event(at, kind) for kind, at in marks if at is not None]
    return replace(track, events=(*track.events, *marked))


def _alternator(form: GovernorForm) -> Alternator | None:
    poles, inverter = form.cleaned_data["poles"], form.cleaned_data["inverter"]
    if poles is None and not inverter:
        return None
    if poles is not None and poles % 2:
        raise InputError("poles", poles, gettext("must be an even number"))
    return Alternator(poles or 2, form.si("frequency") or 60.0, inverter)


def _shown(job: OpenJob, liking: Liking) -> dict[str, Any]:
    return {"blocks": governor_blocks(job.job, job.result, voice_of(liking), width=PICTURE_WIDTH)}


PART = Part("governor", GovernorForm, _made, _shown)
