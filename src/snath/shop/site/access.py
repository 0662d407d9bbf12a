"""Who may do what: decided in one place, before any view runs, and closed unless a view says otherwise.

Without a mark, reading (GET, HEAD) needs a login of any role and POST needs a mechanic; other methods
are used by no page.
A view is marked `@open_to_all` (also without a login), `@readers_may_post` (it works something out
and keeps nothing), or `@owner_only`. On the shop's own machine, without --lan, nobody is asked:
whoever stands there is the owner.
"""

from collections.abc import Callable
from io import BytesIO
from ipaddress import ip_address
from typing import Any, Literal, TypeVar, cast

from django.conf import settings
from django.contrib.auth import get_user
from django.contrib.auth.views import redirect_to_login
from django.contrib.sessions.middleware import SessionMiddleware
from django.core.exceptions import PermissionDenied
from django.core.handlers.wsgi import WSGIRequest
from django.http import HttpRequest, HttpResponse, HttpResponseBase, HttpResponseNotAllowed
from django.shortcuts import render
from django.utils.functional import SimpleLazyObject

from snath.shop.records.keys import key_in
from snath.shop.records.people import Person
from snath.shop.site.api.refusals import for_programs
from snath.shop.site.forwarded import was_forwarded

Answer = Callable[[HttpRequest], HttpResponseBase]
View = TypeVar("View", bound=Callable[..., HttpResponseBase])
Level = Literal["anyone", "reader", "mechanic", "owner"]
READING = ("GET", "HEAD")


def open_to_all(view: View) -> View:
    """Mark a view that needs no login."""
    return _mark(view, "anyone", "anyone")


def readers_may_post(view: View) -> View:
    """Mark a view whose POST works something out and keeps nothing."""
    return _mark(view, "reader", "reader")


def owner_only(view: View) -> View:
    """Mark a view that manages people, rules or the shop."""
    return _mark(view, "owner", "owner")


def _mark(view: View, reading: Level, changing: Level) -> View:
    view.needs = (reading, changing)  # type: ignore[attr-defined]
    return view


def needed(view: Callable[..., Any], method: str) -> Level:
    """The least level at which this view answers this method."""
    levels: tuple[Level, Level] = getattr(view, "needs", ("reader", "mechanic"))
    return levels[0 if method in READING else 1]


def reaches(person: Person | None, level: Level) -> bool:
    """Whether a person, or nobody, has that level."""
    if level == "anyone":
        return True
    if person is None or not person.is_active:
        return False
    return {"reader": True, "mechanic": person.may_change, "owner": person.owns}[level]


def person_of(request: HttpRequest) -> Person | None:
    """Who asks; None for a stranger."""
    user = request.user
    return user if isinstance(user, Person) else None


def known_person(request: HttpRequest) -> Person:
    """Who asks, where the marks let nobody else come this far."""
    person = person_of(request)
    if person is None:
        raise PermissionDenied
    return person


def is_loopback(address: str) -> bool:
    """Whether an address is that of this machine itself."""
    try:
        return ip_address(address).is_loopback
    except ValueError:
        return False


def is_known(environ: dict[str, Any]) -> bool:
    """Whether a request not yet read comes from somebody let in: a session or a key that is there, not just named.

    Parameters
    ----------
    environ : dict
        The request as PEP 3333 describes it; its body is not touched.
    """
    if not settings.LAN:
        return is_loopback(environ.get("REMOTE_ADDR", "")) and not was_forwarded(environ)
    if for_programs(environ.get("PATH_INFO", "")):
        return key_in(environ.get("HTTP_AUTHORIZATION", "")) is not None
    request = WSGIRequest(environ | {"wsgi.input": BytesIO()})
    SessionMiddleware(lambda _: HttpResponse()).process_request(request)
    person = get_user(request)
    return isinstance(person, Person) and person.is_active


class WhoMayDoWhat:
    """Apply the marks to every request."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        if not settings.LAN:
            if not is_loopback(request.META.get("REMOTE_ADDR", "")):
                return HttpResponse("Start the program with --lan to reach it from elsewhere.", status=403)
            request.user = cast(Person, SimpleLazyObject(Person.objects.local_owner))  # many never ask
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Callable[..., Any], args: Any, kwargs: Any
    ) -> HttpResponseBase | None:
        del args, kwargs
        if request.method not in (*READING, "POST"):
            return HttpResponseNotAllowed([*READING, "POST"])
        if not settings.LAN:
            return None  # whoever stands at this machine owns it
        person = person_of(request)
        if reaches(person, needed(view, request.method or "GET")):
            return None
        if person is None and request.method in READING:
            return redirect_to_login(request.get_full_path())
        return render(request, "people/refused.html", {"person": person}, status=403)
