"""Which checks are done, which are open? Walked before anything is set."""

from dataclasses import replace
from typing import Any, ClassVar

from django import forms
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext, gettext_lazy

from snath.decisions.behaviour.checklist import Checked, ChecklistInput, Mark, checklist, not_adjustable
from snath.shop.bench.jobs.kept import OpenJob
from snath.shop.bench.liking import Liking
from snath.shop.bench.pictured import voice_of
from snath.shop.bench.running.entry import Made, Part, RunningForm, asked, choices_of
from snath.shop.bench.words import said
from snath.shop.paper.bench_blocks import STATES, check_rows


class ChecksForm(RunningForm):
    """Every check of this machine with its mark and a note."""

    GROUPS: ClassVar = ((gettext_lazy("And for the record"), ("seals", "not_adjustable")),)

    seals = forms.CharField(
        label=gettext_lazy("Seals, limiter caps, warranty, as found"), max_length=400, required=False
    )
    not_adjustable = forms.ChoiceField(label=gettext_lazy("It cannot be set here because"), required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        reasons = [(key, said(text)) for key, text in not_adjustable().items()]
        choices_of(self, "not_adjustable", [("", gettext("it can be set")), *reasons])

    def added(self, job: OpenJob, liking: Liking) -> dict[str, forms.Field]:
        voice = voice_of(liking)
        states = [(state, voice.term("check-state", state)) for state in STATES]
        boxes: dict[str, forms.Field] = {}
        for item in items_of(job):
            text = said(item.check.text)
            boxes[f"state_{item.check.id}"] = forms.ChoiceField(
                label=text, choices=states, required=False, help_text=said(item.check.caution)
            )
            boxes[f"note_{item.check.id}"] = forms.CharField(
                label=gettext("Note: %(check)s") % {"check": text},
                max_length=300,
                required=False,
                widget=forms.TextInput(attrs={"placeholder": gettext("note"), "autocomplete": "off"}),
            )
        return boxes

    @property
    def walked(self) -> list[dict[str, Any]]:
        """Checks by group, each with its two boxes."""
        voice = voice_of(self.liking)
        groups: dict[str, list[dict[str, Any]]] = {}
        for item in items_of(self.job):
            key = item.check.id
            row = {
                "state": self[f"state_{key}"],
                "note": self[f"note_{key}"],
                "first": item.check.before_setting,
            }
            groups.setdefault(voice.term("check-group", item.check.group), []).append(row)
        return [{"title": title, "rows": rows} for title, rows in groups.items()]

    def before(self, job: OpenJob, liking: Liking) -> dict[str, Any]:
        del liking
        given = job.job.behaviour.checklist or ChecklistInput()
        held: dict[str, Any] = {"seals": given.seals, "not_adjustable": given.not_adjustable}
        for mark in given.marks:
            held |= {f"state_{mark.check}": mark.state, f"note_{mark.check}": mark.note}
        return held


def items_of(job: OpenJob) -> tuple[Checked, ...]:
    """The checks of this machine as they stand."""
    return checklist(job.job.machine, job.job.behaviour.checklist or ChecklistInput()).items


def checks(request: HttpRequest, number: int) -> HttpResponse:
    """The page."""
    return asked(request, number, PART)


def _made(request: HttpRequest, form: ChecksForm, job: OpenJob) -> Made:
    del request
    given = form.cleaned_data
    marks = tuple(
        Mark(item.check.id, given[f"state_{item.check.id}"] or "open", given[f"note_{item.check.id}"])
        for item in items_of(job)
    )
    walked = ChecklistInput(marks, given["not_adjustable"], given["seals"])
    return Made(lambda now: replace(now, checklist=walked), gettext("check list walked"))


def _shown(job: OpenJob, liking: Liking) -> dict[str, Any]:
    given, found = job.job.behaviour.checklist, job.result.behaviour.checklist
    return {"checks": check_rows(given, found, voice_of(liking)) if given and found else None}


PART = Part("checks", ChecksForm, _made, _shown)
