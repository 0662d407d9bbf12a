"""Refuse another program in JSON, whatever refused it: the door, what stands before it, or a fault of our own."""

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseBase, JsonResponse

from snath.quantities.errors import InputError
from snath.shop.answers.facts import as_data, fault_data
from snath.words.render import ENGLISH

BELOW = "/api/"
AGAIN = "60"  # s after which it is worth asking again
NOT_IN_JSON = {  # what stands before the door, or is met behind it, and answers as to a person; by status
    400: ("request", "must name this shop by its own name"),
    409: ("shop", "it has moved to another machine and is closed here"),
    500: ("program", "a fault of the program, not of what was sent; its log has it by this number"),
    503: ("shop", "somebody else is saving just now; ask again in a few seconds"),
    507: ("shop", "the disk of the shop is full, failing or may not be written to"),
}


def for_programs(path: str) -> bool:
    """Whether another program is answered at that address."""
    return path.startswith(BELOW)


def refusal(field: str, allowed: str, given: str = "") -> dict[str, Any]:
    """One fault, as every command prints its own with `--json`."""
    return {"errors": [{"field": field, "given": given, "allowed": allowed}]}


def refused(status: int, field: str, allowed: str, given: str = "") -> HttpResponse:
    """That fault with its status."""
    answer = JsonResponse(refusal(field, allowed, given), status=status)
    if status == 401:
        answer.headers["WWW-Authenticate"] = "Bearer"
    return answer


def faulty(faults: tuple[InputError, ...], status: int = 422) -> HttpResponse:
    """Every fault of what was sent, or of the moment it was sent at."""
    answer = JsonResponse({"errors": as_data([fault_data(one, ENGLISH) for one in faults])}, status=status)
    if status == 503:
        answer.headers["Retry-After"] = AGAIN
    return answer


def must_be(method: str) -> HttpResponse:
    """That this address takes another method."""
    answer = refused(405, "method", f"must be {method.replace(', ', ' or ')}")
    answer.headers["Allow"] = method
    return answer


def too_often() -> HttpResponse:
    """That more was asked than one may."""
    answer = refused(429, "rate", "ask again in a minute")
    answer.headers["Retry-After"] = AGAIN
    return answer


class InJson:
    """Turn a page or a line of text that refuses another program into JSON; an unforeseen fault with its number."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        answer = self.get_response(request)
        kind = answer.headers.get("Content-Type", "").partition(";")[0]
        if not for_programs(request.path) or answer.status_code < 400 or kind == "application/json":
            return answer
        if kind == "text/plain" and isinstance(answer, HttpResponse):
            field, allowed = "request", answer.content.decode()
        else:
            field, allowed = NOT_IN_JSON.get(answer.status_code, ("request", "cannot be answered"))
        told = refused(answer.status_code, field, allowed, given=f"request {request.number}")  # type: ignore[attr-defined]
        if "Retry-After" in answer.headers:
            told.headers["Retry-After"] = answer.headers["Retry-After"]
        return told
