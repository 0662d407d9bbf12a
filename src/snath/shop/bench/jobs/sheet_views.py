"""The sheet: what is written beside the figures, the photos, the signature, and the PDF."""

from dataclasses import replace
from typing import Any
from uuid import UUID

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext, gettext_lazy

from snath.decisions.job.job import Job
from snath.quantities.errors import InputError
from snath.shop.bench.drafts import draft_of, fill
from snath.shop.bench.fields import fault_words
from snath.shop.bench.jobs.kept import OpenJob, at_version, newest
from snath.shop.bench.jobs.page import page, save_change
from snath.shop.bench.liking import liking_of
from snath.shop.bench.pictured import voice_of
from snath.shop.paper.facts import Photo, SheetFacts
from snath.shop.paper.job_sheet import job_sheet
from snath.shop.records.attachments import keep_photo
from snath.shop.records.models import JobRecord, Person, ShopSettings
from snath.shop.records.store import shop_settings

OUTCOMES = (
    ("", gettext_lazy("set and read")),
    ("not adjustable here", gettext_lazy("not adjustable here")),
    ("customer declined", gettext_lazy("left as found: customer declined, do not use")),
    ("accident machine: read only", gettext_lazy("accident machine: read only")),
)
WRITTEN = (
    "hours",
    "blade_part",
    "blade_condition",
    "manual",
    "seals_found",
    "seals_renewed",
    "read_by",
    "set_by",
    "countersigned_by",
    "note",
)
PAPERS = {"letter": "us-letter", "a4": "a4"}


class SheetForm(forms.Form):
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
        widget=forms.ClearableFileInput(attrs={"accept": "image/jpeg,image/png,image/webp"}),
        help_text=gettext_lazy("Kept without the place and the time the camera wrote into it."),
    )


def sheet(request: HttpRequest, number: int) -> HttpResponse:
    """The form of the sheet, and the paper it gives."""
    job = newest(number)
    draft = draft_of(request, f"job:{number}:sheet")
    initial: dict[str, Any] = {"read_by": getattr(request.user, "name", ""), **dict(job.job.facts)}
    initial["outcome"] = job.job.outcome
    form = SheetForm(request.POST or None, request.FILES or None, initial=initial)
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
            draft=draft,
            settled=bool(given["countersigned_by"]),
        )
    photos = job.record.attachments.filter(kind="photo").order_by("at")
    context = page(
        request,
        job,
        "sheet",
        form=form,
        photos=photos,
        draft_key=draft.key,
        draft_at=draft.at,
        paper=PAPERS[shop_settings().paper],
    )
    return render(request, "bench/jobs/sheet.html", context, status=422 if form.errors else 200)


def _with_facts(job: Job, given: dict[str, Any]) -> Job:
    facts = tuple((name, given[name]) for name in WRITTEN if given[name])
    return replace(job, facts=facts, outcome=given["outcome"])


def _photo_kept(request: HttpRequest, form: SheetForm, record: JobRecord) -> bool:
    """Keep the photo that came along, if one did."""
    photo, who = form.cleaned_data["photo"], request.user
    if photo is None:
        return True
    assert isinstance(who, Person)
    try:
        keep_photo(photo.read(), photo.name, who, job=record)
    except InputError as fault:
        form.add_error("photo", fault_words(fault))
        return False
    return True


def sheet_pdf(request: HttpRequest, number: int, version: int | None = None) -> HttpResponse:
    """The sheet of the newest version, or of one asked for, as PDF."""
    record = get_object_or_404(JobRecord.objects.select_related("customer"), number=number)
    job = at_version(record, version or record.version)
    paper, shop = request.GET.get("paper", ""), shop_settings()
    liking = liking_of(request)
    pdf = job_sheet(
        job.job,
        job.result,
        facts=facts_of(request, job, shop),
        paper=paper if paper in PAPERS.values() else PAPERS[shop.paper],
        voice=voice_of(liking),
    )
    response = HttpResponse(pdf, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="job-{number}-version-{job.version.version}.pdf"'
    return response


def facts_of(request: HttpRequest, job: OpenJob, shop: ShopSettings) -> SheetFacts:
    """Everything on the sheet that the job and its result do not hold."""
    photos = job.record.attachments.filter(at__lte=job.version.at).order_by("at")
    written = {name: value for name, value in job.job.facts if name in WRITTEN}
    return SheetFacts(
        shop=shop.name,
        shop_lines=tuple(line for line in shop.address.splitlines() if line.strip()),
        number=str(job.record.number),
        version=str(job.version.version),
        record_hash=job.version.hash,
        printed_on=timezone.localdate().isoformat(),
        customer=job.record.customer.name if job.record.customer else "",
        photos=tuple(Photo(photo.name, photo.sha256, photo.note) for photo in photos),
        opens=request.build_absolute_uri(reverse("bench:tag", args=[job.record.pk])),
        **written,
    )


def versions(request: HttpRequest, number: int) -> HttpResponse:
    """Every saved version: who, when, why, and its sheet."""
    job = newest(number)
    rows = job.record.versions.order_by("-version").defer("job_json", "result_json")
    return render(request, "bench/jobs/versions.html", page(request, job, "", versions=rows))


def tag(request: HttpRequest, record: UUID) -> HttpResponse:
    """What a machine tag's square code opens: the job of that random id."""
    del request
    return redirect("bench:job", get_object_or_404(JobRecord, pk=record).number)
