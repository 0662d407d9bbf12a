"""Show and ask a blade's balance: what is missing, what it pulls with, what would put it right."""

from dataclasses import replace
from typing import Any, ClassVar

from django import forms
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext, gettext_lazy

from snath.decisions.behaviour.from_tables import balance_input
from snath.decisions.behaviour.tables import BalanceTable
from snath.formulas.balance.grade import grades
from snath.shop.bench.fields import boxes_of, choices_of
from snath.shop.bench.jobs.kept import OpenJob
from snath.shop.bench.jobs.page import last_reading
from snath.shop.bench.pictured import voice_of
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.running.entry import Made, RunningEntry, RunningForm, show_entry
from snath.shop.bench.running.typed import typed
from snath.shop.bench.show import typed_length
from snath.shop.paper.bench_blocks import balance_rows

box = boxes_of(BalanceTable)


class BalanceForm(RunningForm):
    """A blade and what is wrong with it."""

    GROUPS: ClassVar = (
        (gettext_lazy("The blade"), ("mass", "blade", "speed")),
        (gettext_lazy("What is missing, or too much"), ("missing", "missing_radius")),
    )
    MORE: ClassVar = (
        gettext_lazy("Grinding, balancer, hole, machine"),
        ("grind_radius", "grade", "mover", "mover_radius", "hole_play", "machine_mass"),
    )
    FAULTS: ClassVar = {
        "tip_radius": "blade",
        "rotation": "speed",
        "radius": "missing_radius",
        "play": "hole_play",
    }

    mass = box("mass", gettext_lazy("Mass of the whole blade"), bare=False)
    blade = box("blade", gettext_lazy("Tip to tip"))
    speed = box("speed", gettext_lazy("Highest speed of its shaft, rpm"))
    missing = box("missing", gettext_lazy("The bit, g"))
    missing_radius = box("missing_radius", gettext_lazy("How far from the hole's centre"))
    grind_radius = box(
        "grind_radius",
        gettext_lazy("Where the heavy end would be ground"),
        help_text=gettext_lazy("From the hole's centre; the tip where left empty."),
    )
    grade = forms.ChoiceField(label=gettext_lazy("Grade to hold it against"), required=False)
    mover = box("mover", gettext_lazy("Smallest bit that moves your balancer, g"))
    mover_radius = box("mover_radius", gettext_lazy("Where that bit was laid"))
    hole_play = box("hole_play", gettext_lazy("Hole less spindle, across"))
    machine_mass = box("machine_mass", gettext_lazy("Mass of the machine"), bare=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices_of(self, "grade", [(grade.id, f"{grade.id}, {grade.printed}") for grade in grades()])

    def before(self, job: OpenJob, preferences: Preferences) -> dict[str, Any]:
        unit, places = ("in", 3) if preferences.units == "inch" else ("mm", 1)

        def length(value: float | None) -> str:
            return "" if value is None else typed_length(value, preferences)

        saved = job.job.behaviour.balance
        if saved is None:
            sizes = [s.diameter.value for m in job.job.machine.members if m.kind == "blade" for s in m.sizes]
            reading = last_reading(job.job)
            known = reading.value.value if reading and reading.value else None
            return {
                "grade": BalanceTable.model_fields["grade"].default,
                "blade": length(max(sizes, default=None)),
                "speed": typed(known, "rpm", preferences, digits=0),
            }
        return {
            "mass": typed(saved.mass, "kg", preferences, digits=3),
            "blade": length(2 * saved.tip_radius),
            "speed": typed(saved.rotation, "rpm", preferences, digits=0),
            "missing": typed(saved.missing, "g", preferences, digits=1),
            "missing_radius": length(saved.missing_radius),
            "grind_radius": length(saved.grind_radius),
            "grade": saved.grade,
            "mover": typed(saved.mover, "g", preferences, digits=1),
            "mover_radius": length(saved.mover_radius),
            "hole_play": typed(saved.hole_play, unit, preferences, digits=places) if saved.hole_play else "",
            "machine_mass": typed(saved.machine_mass, "kg", preferences, digits=1),
        }


def balance(request: HttpRequest, number: int) -> HttpResponse:
    """The page."""
    return show_entry(request, number, ENTRY)


def _made(request: HttpRequest, form: BalanceForm, job: OpenJob) -> Made:
    del request, job
    given = balance_input(form.read(BalanceTable))
    return Made(lambda now: replace(now, balance=given), gettext("balance"))


def _shown(job: OpenJob, preferences: Preferences) -> dict[str, Any]:
    found = job.result.behaviour.balance
    return {"balance": balance_rows(found, voice_of(preferences)) if found else None}


ENTRY = RunningEntry("balance", BalanceForm, _made, _shown)
