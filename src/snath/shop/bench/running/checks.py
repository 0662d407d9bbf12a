"""Walk the checks of a machine: one tick a stage for what comes before it runs, a fault by itself, the rest singly."""

from dataclasses import replace
from typing import Any, ClassVar

from django import forms
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext, gettext_lazy

from snath.decisions.behaviour.asked import ChecklistInput, Mark, StageName
from snath.decisions.behaviour.checklist import RUNS, Checked, When, checklist, not_adjustable
from snath.shop.bench.fields import choices_of
from snath.shop.bench.jobs.kept import OpenJob
from snath.shop.bench.jobs.looked_over import looked_at
from snath.shop.bench.pictured import voice_of
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.running.entry import Made, RunningEntry, RunningForm, show_entry
from snath.shop.bench.words import said
from snath.shop.paper.bench_blocks import STATES, check_rows

HAND: When = "before a hand goes near"
TICKS: tuple[tuple[str, StageName], ...] = (("found", "as found"), ("left", "as left"))


class ChecksForm(RunningForm):
    """A tick for each stage, a fault by itself, and every other check with its mark and a note."""

    GROUPS: ClassVar = ((gettext_lazy("And for the record"), ("seals", "not_adjustable")),)

    found = forms.BooleanField(
        label=gettext_lazy("As found: all of these in order, but for what is opened above"), required=False
    )
    left = forms.BooleanField(
        label=gettext_lazy("As left: all of these in order, but for what is opened above"), required=False
    )
    seals = forms.CharField(
        label=gettext_lazy("Seals, limiter caps, warranty, as found"), max_length=400, required=False
    )
    not_adjustable = forms.ChoiceField(label=gettext_lazy("It cannot be set here because"), required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        reasons = [(key, said(text)) for key, text in not_adjustable().items()]
        choices_of(self, "not_adjustable", [("", gettext("it can be set")), *reasons])

    def added(self, job: OpenJob, preferences: Preferences) -> dict[str, forms.Field]:
        voice = voice_of(preferences)
        states = [(state, voice.term("check-state", state)) for state in STATES]
        boxes: dict[str, forms.Field] = {}
        for item in walked_singly(job):
            key, name = item.check.id, {"check": said(item.check.name)}
            if item.check.when != RUNS:
                boxes[f"state_{key}"] = forms.ChoiceField(
                    label=said(item.check.text),
                    choices=states,
                    required=False,
                    help_text=said(item.check.caution),
                )
            boxes[f"note_{key}"] = _line(
                gettext("%(check)s: what is wrong") % name
                if item.check.when == RUNS
                else gettext("%(check)s: note") % name
            )
            boxes[f"right_{key}"] = _line(gettext("%(check)s: put right, what was done") % name)
            boxes[f"by_{key}"] = _line(gettext("%(check)s: put right by") % name)
        return boxes

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        for item in walked_singly(self.job):
            key = item.check.id
            right, by = given.get(f"right_{key}"), given.get(f"by_{key}")
            if right and not by:
                self.add_error(f"by_{key}", gettext("Say who put it right."))
            if by and not right:
                self.add_error(f"right_{key}", gettext("Say what was done."))
            if right and not given.get(f"note_{key}"):
                self.add_error(f"note_{key}", gettext("Say what was wrong."))
        return given

    @property
    def walked(self) -> list[dict[str, Any]]:
        """Checks by list, each with its boxes; the list before it runs first, it is answered by a tick."""
        voice = voice_of(self.preferences)
        groups: dict[str, list[dict[str, Any]]] = {}
        for item in walked_singly(self.job):
            key = item.check.id
            boxes = [self[f"{name}_{key}"] for name in ("note", "right", "by")]
            row = {
                "name": said(item.check.name),
                "text": said(item.check.text),
                "caution": said(item.check.caution),
                "state": self[f"state_{key}"] if item.check.when != RUNS else None,
                "boxes": boxes,
                "open": any(box.errors or box.value() for box in boxes),
                "blocks": item.blocks,
            }
            groups.setdefault(item.check.when, []).append(row)
        return [
            {"title": voice.term("check-when", when), "rows": rows, "ticked": when == RUNS}
            for when, rows in groups.items()
        ]

    def before(self, job: OpenJob, preferences: Preferences) -> dict[str, Any]:
        del preferences
        given = job.job.behaviour.checklist or ChecklistInput()
        held: dict[str, Any] = {"seals": given.seals, "not_adjustable": given.not_adjustable}
        held |= {name: stage in given.in_order for name, stage in TICKS}
        for mark in given.marks:
            held |= {f"state_{mark.check}": mark.state, f"note_{mark.check}": mark.note}
            held |= {f"right_{mark.check}": mark.put_right, f"by_{mark.check}": mark.by}
        return held

    def mark_of(self, item: Checked, before: Mark | None) -> Mark | None:
        """What is put down for one check; a word of what is wrong makes it a fault where a tick answers the rest."""
        key, given = item.check.id, self.cleaned_data
        note, right, by = (given[f"{name}_{key}"] for name in ("note", "right", "by"))
        if item.check.when != RUNS:
            return Mark(key, given[f"state_{key}"] or "open", note, right, by)
        if before is not None and before.state != "fault" and before.note == note:
            return before
        return Mark(key, "fault", note, right, by) if note else None


def _line(label: str) -> forms.CharField:
    return forms.CharField(
        label=label, max_length=300, required=False, widget=forms.TextInput(attrs={"autocomplete": "off"})
    )


def items_of(job: OpenJob) -> tuple[Checked, ...]:
    """The checks of this machine as they stand."""
    return checklist(job.job.machine, job.job.behaviour.checklist or ChecklistInput()).items


def walked_singly(job: OpenJob) -> list[Checked]:
    """Every check with boxes of its own; what comes before a hand is read, not filled in."""
    return [item for item in items_of(job) if item.check.when != HAND or item.state == "fault"]


def checks(request: HttpRequest, number: int) -> HttpResponse:
    """The page."""
    return show_entry(request, number, ENTRY)


def _made(request: HttpRequest, form: ChecksForm, job: OpenJob) -> Made:
    del request
    given = form.cleaned_data
    before = {mark.check: mark for mark in (job.job.behaviour.checklist or ChecklistInput()).marks}
    made = (form.mark_of(item, before.get(item.check.id)) for item in walked_singly(job))
    marks = tuple(mark for mark in made if mark is not None)
    stages = tuple(stage for name, stage in TICKS if given[name])
    walked = ChecklistInput(marks, given["not_adjustable"], given["seals"], stages)
    return Made(lambda now: replace(now, checklist=walked), gettext("check list walked"))


def _shown(job: OpenJob, preferences: Preferences) -> dict[str, Any]:
    given, found = job.job.behaviour.checklist, job.result.behaviour.checklist
    return {
        "checks": check_rows(given, found, voice_of(preferences)) if given and found else None,
        "blocked_by": [said(fault, preferences) for fault in job.stands.blocked_by],
        "hand_list": looked_at(job.job, HAND),
    }


ENTRY = RunningEntry("checks", ChecksForm, _made, _shown)
