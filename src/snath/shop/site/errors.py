"""What a page says when something broke: in plain words where the disk or a busy database is to blame."""

import sys

from django.core.exceptions import TooManyFieldsSent
from django.db import OperationalError
from django.http import HttpRequest, HttpResponse
from django.middleware.csrf import get_token
from django.shortcuts import render
from django.template import loader
from django.views.decorators.csrf import requires_csrf_token
from django.views.defaults import bad_request

from snath.shop.records.disk import why_it_cannot_keep
from snath.shop.records.store import Closed, DamagedVersion

BUSY_WORDS = (
    "database is locked",
    "database table is locked",
    "lock timeout",
    "deadlock detected",
    "too many clients",
)
SECRETS = ("password", "now", "again", "token")
SECONDS_TO_WAIT = "5"


@requires_csrf_token
def broken(request: HttpRequest) -> HttpResponse:
    """Answer 507 for the disk, 503 for a busy database, 409 for a shop that moved, 500 for damage or our mistake.

    The page is built without the database: it may be what broke.
    """
    fault = sys.exc_info()[1]
    why = why_it_cannot_keep(fault) if fault else None
    if isinstance(fault, Closed):
        return _page("moved", 409)
    if isinstance(fault, DamagedVersion):
        return _page("damaged", 500, where=str(fault))
    if why:
        return _page(why, 500 if why == "damaged" else 507)
    if fault is not None and is_busy(fault):
        return _busy(request)
    return _page("broken", 500, number=getattr(request, "number", ""))


def is_busy(fault: BaseException) -> bool:
    """Whether the database was held by others for longer than anybody waits."""
    cause: BaseException | None = fault
    while cause is not None:
        if isinstance(cause, OperationalError) and any(words in str(cause).lower() for words in BUSY_WORDS):
            return True
        cause = cause.__cause__ or cause.__context__
    return False


def not_understood(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Answer a request no page of ours sends: another host's name, or more boxes than any form has."""
    if isinstance(exception, TooManyFieldsSent):
        return _page("crowded", 400)
    return bad_request(request, exception)


def forged(request: HttpRequest, reason: str = "") -> HttpResponse:
    """Answer a form that does not come from one of our own pages, or from one left open too long."""
    del request, reason
    return _page("forged", 403)


def missing(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Answer an address behind which there is nothing, with the ways on."""
    del exception
    return render(request, "people/missing.html", status=404)


def _busy(request: HttpRequest) -> HttpResponse:
    """What was typed waits in the page itself, but for what a browser or a page must not hold twice."""
    again: dict[str, object] = {}
    if request.method == "POST":
        names = [name for name in request.POST if name != "csrfmiddlewaretoken"]
        again = {
            "entries": [(name, text) for name in names for text in request.POST.getlist(name)],
            "by_hand": bool(request.FILES) or any(name in SECRETS for name in names),
            "token": get_token(request),
        }
    response = _page("busy", 503, address=request.get_full_path(), again=again)
    response.headers["Retry-After"] = SECONDS_TO_WAIT
    return response


def _page(why: str, status: int, **more: object) -> HttpResponse:
    return HttpResponse(loader.render_to_string("people/broken.html", {"why": why, **more}), status=status)
