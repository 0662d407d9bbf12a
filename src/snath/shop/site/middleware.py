"""What every request must bring and every answer must carry, whatever page it is for."""

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseBase

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
