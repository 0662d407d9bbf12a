"""Keep a page that was worked out until somebody saves something.

A page marked `@kept_ready` is kept as bytes, beside the exact state of the database it was made from. It is
given out again only while that state stands and for whoever would get the same bytes, so that nobody sees
an old page, not even for a moment. The state costs one tiny query (`records.unchanged`).
"""

import re
import threading
import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.middleware.csrf import get_token
from django.utils.timezone import localdate
from django.utils.translation import get_language

from snath.shop.records import unchanged
from snath.shop.records.unchanged import state_of_database

MOST_PAGES = 64  # kept by each of the server's few threads
LONGEST = 60.0  # seconds, for pages that say how long ago something was
PREFERENCES = ("snath_theme", "snath_units", "snath_mark")
TOKEN = re.compile(
    rb"""(?<="X-CSRFToken": ")\w{64}(?=")|(?<=name="csrfmiddlewaretoken" value=")\w{64}(?=")"""
)
HOLE = b"\x00"  # stands for the token; no page holds a zero byte

View = Callable[..., HttpResponseBase]


@dataclass(frozen=True, slots=True)
class Page:
    """A page's bytes without the form token, and the state they were made from."""

    body: bytes
    headers: dict[str, str]
    state: object
    made: float


class _Pages(threading.local):
    """Pages of one thread: it has a database connection of its own, whose state is compared."""

    def __init__(self) -> None:
        self.kept: OrderedDict[tuple[Any, ...], Page] = OrderedDict()


_pages = _Pages()


def kept_ready(view: View) -> View:
    """Mark a page that depends on the database, the reader and how they like it, and on nothing else."""

    @wraps(view)
    def ready(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        if request.method not in ("GET", "HEAD") or "messages" in request.COOKIES:
            return view(request, *args, **kwargs)
        key, state, now = _key(request), state_of_database(), time.monotonic()
        page = _pages.kept.get(key)
        if page is not None and page.state == state and now - page.made < LONGEST:
            return HttpResponse(page.body.replace(HOLE, get_token(request).encode()), headers=page.headers)
        response = view(request, *args, **kwargs)
        if isinstance(response, HttpResponse) and response.status_code == 200 and not response.cookies:
            body = TOKEN.sub(HOLE, response.content)
            _keep(key, Page(body, dict(response.headers), state, now))
        return response

    return ready


def _keep(key: tuple[Any, ...], page: Page) -> None:
    _pages.kept[key] = page
    _pages.kept.move_to_end(key)
    while len(_pages.kept) > MOST_PAGES:
        _pages.kept.popitem(last=False)


def forget() -> None:
    """Drop what this thread has kept."""
    _pages.kept.clear()
    unchanged.forget()


def _key(request: HttpRequest) -> tuple[Any, ...]:
    """Everything of a request that may change the bytes it is answered with."""
    return (
        settings.DATABASES["default"]["NAME"],
        request.get_full_path(),
        request.scheme,
        request.get_host(),
        request.user.pk if settings.LAN else None,
        get_language(),
        localdate(),
        tuple(request.COOKIES.get(name) for name in PREFERENCES),
        tuple(request.headers.get(name) for name in ("HX-Request", "HX-Target", "HX-Boosted")),
    )
