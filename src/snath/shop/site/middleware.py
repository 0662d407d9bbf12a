"""What every request must bring and every answer must carry, whatever page it is for."""

import errno
import sqlite3
from collections.abc import Callable

from django.conf import settings
from django.db import DatabaseError
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render

Answer = Callable[[HttpRequest], HttpResponseBase]

CONTENT_POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' blob:",
        "font-src 'self'",
        "connect-src 'self'",
        "media-src 'self' blob:",
        "worker-src 'self'",
        "manifest-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
PERMISSIONS = "microphone=(self), camera=(), geolocation=(), usb=(), payment=(), display-capture=()"


class ForeignRequests:
    """Refuse a request that names another host, or comes from another site's page."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        host = request.get_host()  # raises DisallowedHost, answered with 400, for static files too
        origin = request.headers.get("Origin")
        if origin is not None and origin != f"{request.scheme}://{host}":
            return HttpResponse(
                "This page takes requests from itself only.", status=400, content_type="text/plain"
            )
        return self.get_response(request)


class PagePolicy:
    """Tell the browser to run, load and allow nothing but what the pages need."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        response = self.get_response(request)
        response.headers["Content-Security-Policy"] = CONTENT_POLICY
        response.headers["Permissions-Policy"] = PERMISSIONS
        response.headers["Cross-Origin-Resource-Policy"] = "same-origin"
        if not request.path.startswith(settings.STATIC_URL):
            response.headers.setdefault("Cache-Control", "no-store")
        return response


class CannotKeep:
    """Say in plain words when the disk is full or may not be written, and that nothing was lost."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, fault: Exception) -> HttpResponse | None:
        why = why_it_cannot_keep(fault)
        if why is None:
            return None
        return render(request, "people/cannot_keep.html", {"why": why}, status=507)


def why_it_cannot_keep(fault: BaseException) -> str | None:
    """What stops the disk, in words, or None when the disk is not to blame."""
    cause: BaseException | None = fault
    while cause is not None:
        if isinstance(cause, OSError):
            if cause.errno in (errno.ENOSPC, errno.EDQUOT):
                return "full"
            if cause.errno in (errno.EROFS, errno.EACCES, errno.EPERM):
                return "read-only"
        if isinstance(cause, sqlite3.Error | DatabaseError):
            text = str(cause).lower()
            if "disk is full" in text or "disk full" in text or "no space left" in text:
                return "full"
            if "readonly" in text or "read-only" in text:
                return "read-only"
        cause = cause.__cause__ or cause.__context__
    return None
