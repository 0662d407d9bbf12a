"""Show and ask the next setting of the governor, from those tried, once every check before setting is walked."""

import re
from dataclasses import replace
from typing import Any, ClassVar

from django import forms
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext, gettext_lazy

from snath.decisions.behaviour.from_tables import setting_input
from snath.decisions.behaviour.tables import PointTable, SettingTable
from snath.quantities.errors import InputError
from snath.shop.bench import show
from snath.shop.bench.fields import boxes_of
from snath.shop.bench.jobs.kept import OpenJob
from snath.shop.bench.pictured import voice_of
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.running.entry import Made, RunningEntry, RunningForm, show_entry
from snath.shop.bench.running.typed import bare, typed, typed_speed
from snath.shop.paper.bench_blocks import setting_rows

KINDS = (
    ("turns", gettext_lazy("turns of a screw")),
    ("notches", gettext_lazy("notches")),
    ("spring holes", gettext_lazy("spring holes: each is measured, none is worked out")),
)
TRIES = 6
TRIED = (
    ("position", gettext_lazy("Setting")),
    ("speed", gettext_lazy("Speed there, rpm")),
    ("idle", gettext_lazy("Idle there, rpm")),
)
POINT = re.compile(r"point\[(\d+)\]\.(\w+)")
box = boxes_of(PointTable)


class SettingForm(RunningForm):
    """Settings that were tried and the speed each gave, in the order they were tried."""

    MORE: ClassVar = (gettext_lazy("The maker's idle"), ("idle_low", "idle_high"))
    FAULTS: ClassVar = {"position": "position_1", "speed": "speed_1"}

    kind = forms.ChoiceField(label=gettext_lazy("It is set by"), choices=KINDS, widget=forms.RadioSelect)
    idle_low = box("idle", gettext_lazy("Idle from, rpm"))
    idle_high = box("idle", gettext_lazy("Idle to, rpm"))

    def added(self, job: OpenJob, preferences: Preferences) -> dict[str, forms.Field]:
        del job, preferences
        return {
            f"{entry}_{n}": box(entry, label, required=False)
            for n in range(1, TRIES + 1)
            for entry, label in TRIED
        }

    def box(self, entry: str) -> str:
        point = POINT.search(entry)
        return super().box(entry) if point is None else f"{point[2]}_{point[1]}"

    @property
    def grouped(self) -> list[dict[str, Any]]:
        """Every setting that holds something, and one more to fill in; two at the start."""
        filled = [
            n for n in range(1, TRIES + 1) if self[f"speed_{n}"].value() or self[f"position_{n}"].value()
        ]
        last = min(TRIES, max([1, *filled]) + 1)
        tries = [
            {
                "title": gettext("Setting %(n)d that was tried") % {"n": n},
                "fields": [self[f"{entry}_{n}"] for entry, _ in TRIED],
            }
            for n in range(1, last + 1)
        ]
        return [{"title": gettext("What is turned"), "fields": [self["kind"]]}, *tries]

    def before(self, job: OpenJob, preferences: Preferences) -> dict[str, Any]:
        saved = job.job.behaviour.setting
        if saved is None:
            return {"kind": "turns"}
        held = {
            "kind": saved.kind,
            "idle_low": typed(saved.idle_low, "rpm", preferences, digits=0),
            "idle_high": typed(saved.idle_high, "rpm", preferences, digits=0),
        }
        for n, point in enumerate(saved.points[-TRIES:], start=1):
            held[f"position_{n}"] = bare(point.position, preferences)
            held[f"speed_{n}"] = typed_speed(point.speed, preferences)
            held[f"idle_{n}"] = typed(point.idle, "rpm", preferences, digits=0)
        return held

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        for n in range(1, TRIES + 1):
            position, speed = given.get(f"position_{n}"), given.get(f"speed_{n}")
            for name, value, other in (("position", position, speed), ("speed", speed, position)):
                box = f"{name}_{n}"
                if value is None and other is not None and box not in self.errors:
                    self.add_error(box, gettext_lazy("A setting and its speed belong together."))
        if (given.get("idle_low") is None) != (given.get("idle_high") is None) and not self.errors:
            self.add_error("idle_high", gettext_lazy("Give both ends of the idle, or neither."))
        return given

    @property
    def asked(self) -> dict[str, Any]:
        """The settings that were typed, in order, as the table of a job has them."""
        idle = [self.cleaned_data[name] for name in ("idle_low", "idle_high")]
        rows = ({entry: self.cleaned_data[f"{entry}_{n}"] for entry, _ in TRIED} for n in range(1, TRIES + 1))
        given = ({entry: value for entry, value in row.items() if value is not None} for row in rows)
        asked = {"kind": self.cleaned_data["kind"], "point": [row for row in given if row]}
        return asked if None in idle else asked | {"idle_between": idle}


def setting(request: HttpRequest, number: int) -> HttpResponse:
    """The page."""
    return show_entry(request, number, ENTRY)


def _made(request: HttpRequest, form: SettingForm, job: OpenJob) -> Made:
    del request
    window = job.result.window
    if (
        window.target is None
        or window.set_low is None
        or window.set_high is None
        or window.pass_below is None
    ):
        raise InputError("target", "nothing", gettext("no setting is worked out without a target, see above"))
    given = setting_input(form.read(SettingTable, form.asked), window)
    return Made(lambda now: replace(now, setting=given), gettext("settings tried"))


def _shown(job: OpenJob, preferences: Preferences) -> dict[str, Any]:
    found, given = job.result.behaviour.setting, job.job.behaviour.setting
    window = job.result.window
    return {
        "advice": setting_rows(found, given.kind, voice_of(preferences)) if found and given else None,
        "target": show.speed(window.target, preferences),
        "ceiling": show.speed(window.ceiling, preferences, round="down"),
    }


ENTRY = RunningEntry("setting", SettingForm, _made, _shown)
