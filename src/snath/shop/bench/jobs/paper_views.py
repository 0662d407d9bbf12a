"""Everything a job gives on paper: the sheet, the letter, the tag, the class sheet, one sealed file."""

from collections.abc import Callable
from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone

from snath.shop.bench.jobs.kept import OpenJob, at_version
from snath.shop.bench.paper_of import address_lines, attached, paper_asked, pdf, voice_asked
from snath.shop.paper.class_sheet import class_sheet
from snath.shop.paper.facts import Photo, SheetFacts
from snath.shop.paper.job_sheet import job_sheet
from snath.shop.paper.letter import customer_letter
from snath.shop.paper.sealed import Kept, sealed_file
from snath.shop.paper.tag import machine_tag
from snath.shop.records.attachments import place_of
from snath.shop.records.models import JobRecord, ShopSettings
from snath.shop.records.store import shop_settings

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
ENCLOSED_MOST = 200_000_000  # bytes of attachments that go into a sealed file themselves; more go by hash


def sheet_pdf(request: HttpRequest, number: int, version: int | None = None) -> HttpResponse:
    """The job sheet."""
    return _printed(request, number, version, job_sheet, "sheet")


def letter_pdf(request: HttpRequest, number: int) -> HttpResponse:
    """The letter to the customer."""
    return _printed(request, number, None, customer_letter, "letter")


def tag_pdf(request: HttpRequest, number: int) -> HttpResponse:
    """The tag for the machine."""
    return _printed(request, number, None, machine_tag, "tag")


def class_pdf(request: HttpRequest, number: int) -> HttpResponse:
    """Questions on this job; without `answers=shown` no answer is in the file."""
    shown = request.GET.get("answers") == "shown"
    return _printed(request, number, None, class_sheet, "class", answers=shown)


def sealed(request: HttpRequest, number: int) -> HttpResponse:
    """Sheet, job, result, photos and recordings in one file that shows if it was changed."""
    job, shop = _asked(number, None), shop_settings()
    content = sealed_file(
        job.job,
        job.result,
        facts=facts_of(request, job, shop),
        kept=_enclosed(job),
        paper=paper_asked(request, shop),
        voice=voice_asked(request),
    )
    return attached(content, f"job-{number}-sealed.zip", "application/zip")


def _asked(number: int, version: int | None) -> OpenJob:
    record = get_object_or_404(JobRecord.objects.select_related("customer"), number=number)
    return at_version(record, version or record.version)


def _printed(
    request: HttpRequest,
    number: int,
    version: int | None,
    printer: Callable[..., bytes],
    name: str,
    **more: Any,
) -> HttpResponse:
    job, shop = _asked(number, version), shop_settings()
    content = printer(
        job.job,
        job.result,
        facts=facts_of(request, job, shop),
        paper=paper_asked(request, shop),
        voice=voice_asked(request),
        **more,
    )
    return pdf(content, f"job-{number}-version-{job.version.version}-{name}")


def _enclosed(job: OpenJob) -> list[Kept]:
    """Attachments of the job, with their bytes as long as these are not too many."""
    kept, room = [], ENCLOSED_MOST
    for row in job.record.attachments.order_by("at"):
        place = place_of(row.sha256)
        enclosed = row.size <= room and place.is_file()
        room -= row.size if enclosed else 0
        kept.append(Kept(row.name, row.sha256, row.media, place.read_bytes() if enclosed else None))
    return kept


def facts_of(request: HttpRequest, job: OpenJob, shop: ShopSettings) -> SheetFacts:
    """Everything on the sheet that the job and its result do not hold."""
    photos = job.record.attachments.filter(at__lte=job.version.at).order_by("at")
    written = {name: value for name, value in job.job.facts if name in WRITTEN}
    return SheetFacts(
        shop=shop.name,
        shop_lines=address_lines(shop),
        number=str(job.record.number),
        version=str(job.version.version),
        record_hash=job.version.hash,
        kept_by=f"snath {job.version.program}",
        printed_on=timezone.localdate().isoformat(),
        customer=job.record.customer.name if job.record.customer else "",
        photos=tuple(Photo(photo.name, photo.sha256, photo.note) for photo in photos),
        opens=request.build_absolute_uri(reverse("bench:tag", args=[job.record.pk])) if settings.LAN else "",
        one_person=shop.one_person,
        **written,
    )
