"""The sheet: what is written beside the figures, the photos, the signature, and the PDF."""

from dataclasses import replace
from typing import Any
from uuid import UUID

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext, gettext_lazy

from snath.decisions.job.job import Job
from snath.decisions.machine.condition_words import bladed
from snath.decisions.machine.parts import Machine
from snath.quantities.errors import InputError
from snath.shop.bench.drafts import draft_of, fill, untouched
from snath.shop.bench.fields import fault_words
from snath.shop.bench.jobs.kept import newest
from snath.shop.bench.jobs.page import OUTCOMES, page
from snath.shop.bench.jobs.paper_views import WRITTEN
from snath.shop.bench.jobs.saving import save_change
from snath.shop.bench.preferences import preferences_of
from snath.shop.bench.refusals import Refusing
from snath.shop.paper.facts import is_somebody_else
from snath.shop.records.attachments import keep_photo
from snath.shop.records.models import JobRecord, Person
from snath.shop.records.people import name_shown
from snath.shop.records.store import shop_settings
from snath.shop.records.unchanged import unchanged

PAPERS_OF_A_JOB = (
    ("bench:job-letter", gettext_lazy("Letter to the customer")),
    ("bench:job-tag", gettext_lazy("Tag for the machine")),
    ("bench:job-sealed", gettext_lazy("Sealed file for an insurer or inspector")),
)


class SheetForm(Refusing, forms.Form):
    """What stands on the sheet and is judged by nobody, and how the job ended."""

    use_required_attribute = False

    hours = forms.CharField(label=gettext_lazy("Hours on the meter"), max_length=40, required=False)
    blade_part = forms.CharField(label=gettext_lazy("Blade, part number"), max_length=80, required=False)
    blade_condition = forms.CharField(label=gettext_lazy("Blade, condition"), max_length=200, required=False)
    manual = forms.CharField(label=gettext_lazy("Manual, edition and page"), max_length=200, required=False)
    seals_found = forms.CharField(label=gettext_lazy("Seals found"), max_length=200, required=False)
    seals_renewed = forms.CharField(label=gettext_lazy("Seals renewed"), max_length=200, required=False)
    read_by = forms.CharField(label=gettext_lazy("Read by"), max_length=80, required=False)
    set_by = forms.CharField(label=gettext_lazy("Set by"), max_length=80, required=False)
    countersigned_by = forms.CharField(
        label=gettext_lazy("Countersigned by"),
        max_length=80,
        required=False,
        help_text=gettext_lazy("A second person. With this the job is done."),
    )
    alone = forms.BooleanField(
        label=gettext_lazy("Done: a one-person shop, nobody else is here to countersign"), required=False
    )
    note = forms.CharField(
        label=gettext_lazy("Anything else"),
        max_length=1500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    outcome = forms.ChoiceField(
        label=gettext_lazy("How it ended"), choices=OUTCOMES, required=False, widget=forms.RadioSelect
    )
    photo = forms.FileField(
        label=gettext_lazy("Photo"),
        required=False,
        widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/webp"}),
        help_text=gettext_lazy("Kept without the place and the time the camera wrote into it."),
    )

    def ask_only(self, machine: Machine, *, one_person: bool) -> None:
        """Leave out what a machine without blades has none of, and whoever is not there to sign."""
        if not bladed(machine):
            del self.fields["blade_part"], self.fields["blade_condition"]
        del self.fields["countersigned_by" if one_person else "alone"]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        second = given.get("countersigned_by", "")
        if second and not is_somebody_else(second, given.get("read_by", ""), given.get("set_by", "")):
            self.add_error(
                "countersigned_by",
                gettext_lazy(
                    "must be a second person: this is who read or set it; who works alone says so on the shelf"
                ),
            )
        return given


def sheet(request: HttpRequest, number: int) -> HttpResponse:
    """The form of the sheet, and the paper it gives."""
    job = newest(number)
    draft = draft_of(request, f"job:{number}:sheet")
    initial: dict[str, Any] = {
        "read_by": name_shown(getattr(request.user, "name", "")),
        **dict(job.job.facts),
    }
    initial |= {"outcome": job.job.outcome, "alone": not job.record.waits_for}
    form = SheetForm(request.POST or None, request.FILES or None, initial=initial)
    one_person = shop_settings().one_person
    form.ask_only(job.job.machine, one_person=one_person)
    if request.method != "POST":
        fill(form, draft)
    elif form.is_valid() and _photo_kept(request, form, job.record):
        given = form.cleaned_data
        return save_change(
            request,
            job,
            lambda now: _with_facts(now, given),
            note=gettext("sheet filled in"),
            then="bench:job-sheet",
            form=form,
            draft=draft,
            settled=bool(given.get("countersigned_by") or given.get("alone")),
        )
    photos = unchanged(
        ("photos of a job", number),
        lambda: tuple(job.record.attachments.filter(kind="photo").order_by("at")),
    )
    context = page(
        request,
        job,
        "sheet",
        form=form,
        photos=photos,
        draft_key=draft.key,
        draft_at=draft.at,
        papers=PAPERS_OF_A_JOB,
        as_new=untouched(request, draft, one_person, job.record.waits_for),
    )
    return render(request, "bench/jobs/sheet.html", context, status=422 if form.errors else 200)


def _with_facts(job: Job, given: dict[str, Any]) -> Job:
    facts = tuple((name, given[name]) for name in WRITTEN if given.get(name))
    others = tuple(fact for fact in job.facts if fact[0] not in WRITTEN)  # such as where the belt runs
    return replace(job, facts=(*facts, *others), outcome=given["outcome"])


def _photo_kept(request: HttpRequest, form: SheetForm, record: JobRecord) -> bool:
    """Keep the photo that came along, if one did."""
    photo, who = form.cleaned_data["photo"], request.user
    if photo is None:
        return True
    assert isinstance(who, Person)
    try:
        keep_photo(photo.read(), photo.name, who, job=record)
    except InputError as fault:
        form.add_error("photo", fault_words(fault, preferences_of(request).decimal_mark))
        return False
    return True


def versions(request: HttpRequest, number: int) -> HttpResponse:
    """Every saved version: who, when, why, and its sheet."""
    job = newest(number)
    rows = job.record.versions.order_by("-version").defer("job_json", "result_json")
    return render(request, "bench/jobs/versions.html", page(request, job, "", versions=rows))


def tag(request: HttpRequest, record: UUID) -> HttpResponse:
    """What a machine tag's square code opens: the job of that random id."""
    del request
    return redirect("bench:job", get_object_or_404(JobRecord, pk=record).number)
