"""What every request must bring and every answer must carry, whatever page it is for."""

from collections.abc import Callable

from django.conf import settings
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render

from snath.quantities.errors import InputError, InputErrors
from snath.shop.records.unchanged import reading_only
from snath.shop.site.locale import locale_here
from snath.words.render import say_fault

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


class ReadingOnly:
    """Let a request that changes nothing take what others have read where nobody has changed a row since."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        if request.method not in ("GET", "HEAD"):
            return self.get_response(request)
        with reading_only():
            return self.get_response(request)


class RefusedEntries:
    """Answer 400 and say what would do, where a view met an entry it has no box for.

    A form shows such a fault at its field; this is for addresses, hidden fields and forged forms.
    """

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, fault: Exception) -> HttpResponse | None:
        """Take what says that an entry is wrong; anything else is our own fault and stays one."""
        if isinstance(fault, InputError | InputErrors):
            said = [say_fault(one, locale_here()) for one in fault.faults]
        elif isinstance(fault, ValidationError):
            said = list(fault.messages)
        else:
            return None
        return render(request, "people/refused_entry.html", {"said": said}, status=400)
