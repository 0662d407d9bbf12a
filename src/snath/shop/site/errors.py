"""What a page says when something broke: in plain words where the disk is to blame."""

import sys

from django.http import HttpRequest, HttpResponse
from django.template import loader
from django.views.decorators.csrf import requires_csrf_token

from snath.shop.records.disk import why_it_cannot_keep
from snath.shop.records.store import Closed


@requires_csrf_token
def broken(request: HttpRequest) -> HttpResponse:
    """Answer 507 for a full or locked disk, 409 for a shop that moved, 500 for our own mistake.

    The page is built without the database: it may be what broke.
    """
    del request
    fault = sys.exc_info()[1]
    why = why_it_cannot_keep(fault) if fault else None
    if isinstance(fault, Closed):
        return _page("moved", 409)
    return _page(why, 507) if why else _page("broken", 500)


def forged(request: HttpRequest, reason: str = "") -> HttpResponse:
    """Answer a form that does not come from one of our own pages, or from one left open too long."""
    del request, reason
    return _page("forged", 403)


def _page(why: str, status: int) -> HttpResponse:
    return HttpResponse(loader.render_to_string("people/broken.html", {"why": why}), status=status)
