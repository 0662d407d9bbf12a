"""What a customer gets without paper: a link in the shop's network, a file to share, a text for a message.

The link is signed and ends after a while; it opens the letter of one version of one job and nothing else.
"""

from dataclasses import replace
from typing import Any
from urllib.parse import quote
from uuid import UUID

from django.conf import settings
from django.core import signing
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse

from snath.shop.bench.jobs.kept import OpenJob, at_version, newest
from snath.shop.bench.jobs.page import page
from snath.shop.bench.jobs.paper_views import facts_of
from snath.shop.bench.paper_of import paper_asked, pdf, voice_asked
from snath.shop.paper.letter import customer_letter, letter_words
from snath.shop.paper.letter_text import letter_text
from snath.shop.records.models import JobRecord
from snath.shop.records.store import shop_settings
from snath.shop.site.access import open_to_all

SALT = "letter to a customer"
DAYS = 30


def send(request: HttpRequest, number: int) -> HttpResponse:
    """The ways to send the letter of a job as it stands."""
    job, voice = newest(number), voice_asked(request)
    words = letter_words(job.job, job.result, facts=facts_of(request, job, shop_settings()), voice=voice)
    text = letter_text(words, voice)
    customer = job.record.customer
    email, phone = (quote(getattr(customer, name, "")) for name in ("email", "phone"))
    context = {
        "text": text,
        "link": request.build_absolute_uri(reverse("bench:letter-link", args=[_token(job)]))
        if settings.LAN
        else "",
        "file_name": f"job-{number}-letter.pdf",
        "mail": f"mailto:{email}?subject={quote(words['title'])}&body={quote(text)}",
        "message": f"sms:{phone}?body={quote(text)}",
        "days": DAYS,
    }
    return render(request, "bench/send/send.html", page(request, job, "sheet", **context))


@open_to_all
def letter_link(request: HttpRequest, token: str) -> HttpResponse:
    """The customer's page, for whoever holds its link."""
    job = _opened(token)
    facts = replace(facts_of(request, job, shop_settings()), customer="")
    words = letter_words(job.job, job.result, facts=facts, voice=voice_asked(request))
    context: dict[str, Any] = {"words": words, "token": token}
    return render(request, "bench/send/letter.html", context)


@open_to_all
def letter_file(request: HttpRequest, token: str) -> HttpResponse:
    """The same as the letter's PDF."""
    job, shop = _opened(token), shop_settings()
    facts = replace(facts_of(request, job, shop), customer="")
    content = customer_letter(
        job.job, job.result, facts=facts, paper=paper_asked(request, shop), voice=voice_asked(request)
    )
    return pdf(content, f"job-{job.record.number}-letter")


def _token(job: OpenJob) -> str:
    return signing.dumps([str(job.record.pk), job.version.version], salt=SALT)


def _opened(token: str) -> OpenJob:
    """The job a link was made for, at the version it was made of.

    Raises
    ------
    Http404
        Where the link is none of ours, or too old.
    """
    try:
        record, version = signing.loads(token, salt=SALT, max_age=DAYS * 86400)
        return at_version(get_object_or_404(JobRecord, pk=UUID(record)), int(version))
    except (signing.BadSignature, ValueError, TypeError):
        raise Http404 from None
