"""Doors to what is kept: an attachment, the list of jobs, everything, one customer's erasing."""

import tempfile
from uuid import UUID

from django.contrib import messages
from django.http import FileResponse, Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext, gettext_noop
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from snath.shop.records.archive import write_archive
from snath.shop.records.attachments import RECORDINGS, place_of
from snath.shop.records.erase import erase_customer
from snath.shop.records.facts import TouchKind
from snath.shop.records.job_list import csv_of_jobs
from snath.shop.records.jobs import Attachment
from snath.shop.records.machines import Customer
from snath.shop.records.store import audit
from snath.shop.records.touched import jobs_touched
from snath.shop.site.access import known_person, owner_only

SHOWN_AS_PICTURE = ("image/jpeg", "image/png")
KNOWN_MEDIA = {*SHOWN_AS_PICTURE, *RECORDINGS.values(), "application/pdf"}


@require_safe
def attachment(request: HttpRequest, key: UUID) -> FileResponse:
    """The bytes of a photo or recording, never as anything a browser would run."""
    del request
    kept = get_object_or_404(Attachment, pk=key)
    place = place_of(kept.sha256)
    if not place.is_file():
        raise Http404
    media = kept.media if kept.media in KNOWN_MEDIA else "application/octet-stream"
    response = FileResponse(
        place.open("rb"), content_type=media, as_attachment=media not in SHOWN_AS_PICTURE, filename=kept.name
    )
    response.headers["Cache-Control"] = "private, max-age=86400, immutable"
    return response


@require_safe
def jobs_table(request: HttpRequest) -> StreamingHttpResponse:
    """Every job as CSV."""
    audit(known_person(request), gettext_noop("took the list of jobs"))
    return StreamingHttpResponse(
        csv_of_jobs(),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": 'attachment; filename="jobs.csv"'},
    )


@owner_only
@require_POST
def everything(request: HttpRequest) -> FileResponse:
    """Everything but passwords, in the format of `snath export`."""
    file = tempfile.TemporaryFile()  # noqa: SIM115 - the response closes it once it is sent
    write_archive(file, secrets=False)
    file.seek(0)
    audit(known_person(request), gettext_noop("took everything"))
    return FileResponse(file, as_attachment=True, filename="snath-export.zip")


@require_safe
def touched(request: HttpRequest, kind: TouchKind, key: str) -> HttpResponse:
    """The jobs a rule or an instrument touches."""
    return render(
        request, "people/touched.html", {"kind": kind, "key": key, "jobs": jobs_touched(kind, key)[:1000]}
    )


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def erase(request: HttpRequest, key: UUID) -> HttpResponse:
    """Say what forgetting a customer takes away and what it leaves; then do it."""
    customer = get_object_or_404(Customer, pk=key)
    if request.method == "POST":
        erase_customer(customer, known_person(request))
        messages.success(request, gettext("Forgotten."))
        return redirect("bench:customers")
    return render(request, "people/erase.html", {"customer": customer})
