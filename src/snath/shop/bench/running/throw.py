"""Show and ask what a blade can throw: distances for mechanics and teachers, energies for a customer."""

from dataclasses import replace
from typing import Any, ClassVar

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext, gettext_lazy

from snath.decisions.behaviour.from_tables import throw_input
from snath.decisions.behaviour.tables import OpeningTable, ThingTable, ThrowTable
from snath.decisions.behaviour.throw import NOT_CLEAR, ONLY_SQUARE
from snath.decisions.behaviour.thrown import STONE, Thing
from snath.shop.bench.fields import boxes_of
from snath.shop.bench.jobs.kept import OpenJob, newest
from snath.shop.bench.jobs.page import page
from snath.shop.bench.pictured import PICTURE_WIDTH, voice_of
from snath.shop.bench.preferences import Preferences, preferences_of
from snath.shop.bench.running.entry import Made, RunningEntry, RunningForm, show_entry
from snath.shop.bench.running.typed import bare, typed
from snath.shop.bench.words import said
from snath.shop.paper.letter_running import thrown_words
from snath.shop.paper.thrown_block import thrown_picture, thrown_rows
from snath.shop.pictures.reach import reach_picture

PLACES = tuple(OpeningTable.model_fields)
box, box_of_thing, box_of_opening = (boxes_of(table) for table in (ThrowTable, ThingTable, OpeningTable))


class ThrowForm(RunningForm):
    """What may lie in the grass, and where things get out."""

    GROUPS: ClassVar = ((gettext_lazy("What may lie in the grass"), ("thing", "mass", "density")),)
    MORE: ClassVar = (
        gettext_lazy("Where things get out: only with this, how far, for teaching"),
        (*PLACES, "bounce_low", "bounce_high", "wind", "slope"),
    )
    FAULTS: ClassVar = {"edge": "edge_high", "carrying": "mass", "name": "thing"}

    thing = forms.CharField(label=gettext_lazy("Thing"), max_length=60)
    mass = box_of_thing("mass", gettext_lazy("Its mass, g"))
    density = box_of_thing("density", gettext_lazy("Its density, kg/m3"), required=True)
    struck_height = box_of_opening("struck_height", gettext_lazy("Blade above ground"), required=False)
    edge_distance = box_of_opening(
        "edge_distance", gettext_lazy("From the blow to the opening"), required=False
    )
    edge_low = box_of_opening("edge_low", gettext_lazy("Opening's lower edge above ground"), required=False)
    edge_high = box_of_opening("edge_high", gettext_lazy("Opening's upper edge above ground"), required=False)
    bounce_low = box("bounce_low", gettext_lazy("Bounce, least, 0 to 1"))
    bounce_high = box("bounce_high", gettext_lazy("Bounce, most, 0 to 1"))
    wind = box("wind", gettext_lazy("Wind along the throw, m/s"))
    slope = box("slope", gettext_lazy("Ground rises by, degrees"))

    def before(self, job: OpenJob, preferences: Preferences) -> dict[str, Any]:
        saved = job.job.behaviour.throw
        if saved is None:
            stone = typed(STONE, "g", preferences, digits=0)
            named = gettext("stone of %(mass)s") % {"mass": stone}
            return {"thing": named, "mass": stone, "density": bare(Thing(named, STONE).density, preferences)}
        thing, around = saved.things[0], saved.surroundings
        held = {
            "thing": thing.name,
            "mass": typed(thing.mass, "g", preferences, digits=1),
            "density": bare(thing.density, preferences),
            "bounce_low": bare(saved.bounce_low, preferences),
            "bounce_high": bare(saved.bounce_high, preferences),
            "wind": typed(around.wind, "m/s", preferences, digits=1) if around.wind else "",
            "slope": typed(around.slope, "deg", preferences, digits=1) if around.slope else "",
        }
        if saved.opening is not None:
            unit, digits = ("in", 2) if preferences.units == "inch" else ("mm", 0)
            held |= {
                name: typed(getattr(saved.opening, name), unit, preferences, digits=digits) for name in PLACES
            }
        return held

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        missing = [name for name in PLACES if given.get(name) is None]
        if missing and len(missing) < len(PLACES) and not self.errors:
            self.add_error(missing[0], gettext_lazy("An opening needs all four measures."))
        return given


def throw(request: HttpRequest, number: int) -> HttpResponse:
    """The training screen."""
    return show_entry(request, number, ENTRY)


def for_customer(request: HttpRequest, number: int) -> HttpResponse:
    """The same without a distance or a figure nobody asked for: to turn the screen round."""
    job, voice = newest(number), voice_of(preferences_of(request))
    found = job.result.behaviour.throw
    shown = {
        "words": list(thrown_words(found, voice)) if found else [],
        "picture": thrown_picture(found, voice, width=PICTURE_WIDTH) if found else None,
    }
    return render(request, "bench/running/customer.html", page(request, job, "", **shown))


def _made(request: HttpRequest, form: ThrowForm, job: OpenJob) -> Made:
    del request, job
    thing = {"name": form.cleaned_data["thing"], **form.filled(ThingTable, "name")}
    place = form.filled(OpeningTable)
    asked = (
        form.filled(ThrowTable, "thing", "opening")
        | {"thing": [thing]}
        | ({"opening": place} if place else {})
    )
    given = throw_input(form.read(ThrowTable, asked))
    return Made(lambda now: replace(now, throw=given), gettext("thrown objects"))


def _shown(job: OpenJob, preferences: Preferences) -> dict[str, Any]:
    found, voice = job.result.behaviour.throw, voice_of(preferences)
    if found is None:
        return {"thrown": None, "waits": job.job.behaviour.throw is not None}
    reach = None
    if found.training and found.elevations:
        reach = reach_picture(found.training, found.elevations, voice, width=PICTURE_WIDTH)
    return {
        "thrown": thrown_rows(found, voice),
        "reach": reach,
        "picture": thrown_picture(found, voice, width=PICTURE_WIDTH),
        "teaching": [said(note) for note in (ONLY_SQUARE, NOT_CLEAR)],
    }


ENTRY = RunningEntry("throw", ThrowForm, _made, _shown)
