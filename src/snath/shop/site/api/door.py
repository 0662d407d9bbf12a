"""Let other programs in: by a key in a header and nothing else, so often and so much, and never a browser's page.

It stands before sessions, cookies and forms, so that none of them is ever looked at here. Without a key nothing is
answered, on the shop's own machine as little as elsewhere.
"""

from collections.abc import Callable
from typing import Any

from django.conf import settings
from django.core.exceptions import SuspiciousOperation
from django.http import HttpRequest, HttpResponse, HttpResponseBase, JsonResponse, UnreadablePostError
from django.http.multipartparser import MultiPartParserError
from pydantic import ValidationError

from snath.quantities.errors import InputError, InputErrors, shorten
from snath.shop.answers.facts import as_data
from snath.shop.records.api_keys import ApiKey, Scope
from snath.shop.records.keys import key_in
from snath.shop.records.line import TooManyWait
from snath.shop.site.access import is_loopback
from snath.shop.site.api.addresses import ADDRESSES, FORM, JSON, MOST_BYTES, ROOT, Address
from snath.shop.site.api.asker import Asker, Reply
from snath.shop.site.api.described import ITSELF, description
from snath.shop.site.api.rates import Rates
from snath.shop.site.api.refusals import faulty, for_programs, must_be, refused, too_often
from snath.shop.site.api.schemas import Sent

Answer = Callable[[HttpRequest], HttpResponseBase]
RATE, BURST = 5.0, 30.0  # requests a second of one key in the long run, and at once
WRONG_RATE, WRONG_BURST = 0.1, 10.0  # wrong keys of one address


_asked, _wrong = Rates(RATE, BURST), Rates(WRONG_RATE, WRONG_BURST)


class ApiDoor:
    """Answer what is below the API's root; everything else goes on to the pages."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        if not for_programs(request.path):
            return self.get_response(request)
        return answer_of(request)


def answer_of(request: HttpRequest) -> HttpResponse:
    """The answer to another program."""
    address = request.META.get("REMOTE_ADDR", "")
    if "Origin" in request.headers or "Sec-Fetch-Site" in request.headers:
        return refused(403, "browser", "no page of a browser is answered here")
    if not settings.LAN and not is_loopback(address):
        return refused(403, "address", "start the program with --lan to reach it from elsewhere")
    if _wrong.left(address) < 1:
        return too_often()
    key = key_in(request.headers.get("Authorization", ""))
    if key is None:
        _wrong.take(address)
        return refused(401, "Authorization", "must be Bearer and a key that holds")
    if not _asked.take(str(key.pk)):
        return too_often()
    try:
        return _routed(request, key)
    except TooManyWait as fault:
        return faulty((fault,), 503)
    except (InputError, InputErrors) as found:
        return faulty(found.faults)


def _routed(request: HttpRequest, key: ApiKey) -> HttpResponse:
    if request.path.rstrip("/") == ROOT + ITSELF:
        return JsonResponse(description()) if request.method == "GET" else must_be("GET")
    here = [(one, found) for one in ADDRESSES if (found := one.pattern.fullmatch(request.path))]
    if not here:
        return refused(
            404, "path", f"must be one of {', '.join(dict.fromkeys(one.path for one in ADDRESSES))}"
        )
    for one, found in here:
        if one.method == request.method:
            return _answered(request, key, one, found.groupdict())
    return must_be(", ".join(one.method for one, _ in here))


def _answered(request: HttpRequest, key: ApiKey, address: Address, named: dict[str, str]) -> HttpResponse:
    if not Scope(key.scope).reaches(address.scope):
        return refused(403, "scope", f"must be {address.scope} or more, and this key's is {key.scope}")
    if address.scope == Scope.MAKE and not key.person.may_change:
        return refused(
            403, "person", f"{key.person.name} may read only, and a key may do no more than its person"
        )
    if address.body:
        if int(request.META.get("CONTENT_LENGTH") or 0) > MOST_BYTES[address.body]:
            return refused(413, "body", f"must be at most {MOST_BYTES[address.body]} bytes")
        if request.content_type != address.body:
            return refused(415, "Content-Type", f"must be {address.body}")
    try:
        asked = _what(request, address, named)
    except ValidationError as faults:
        return faulty(tuple(_fault(one) for one in faults.errors(include_url=False)))
    except (MultiPartParserError, SuspiciousOperation, UnreadablePostError):
        return refused(400, "body", "must be a whole form with one file")
    asker = Asker(key.person, key.name, request.FILES.get("recording") if address.body == FORM else None)
    found = address.does(asker, asked)
    reply = found if isinstance(found, Reply) else Reply(200, found)
    return JsonResponse(as_data(reply.answer), status=reply.status, headers=reply.headers)


def _what(request: HttpRequest, address: Address, named: dict[str, str]) -> Sent:
    """What was asked, of the body, the form or the address."""
    if address.body == JSON:
        return address.takes.model_validate_json(request.body)
    words = request.POST if address.body == FORM else request.GET
    return address.takes.model_validate_strings({**words.dict(), **named})


def _fault(found: Any) -> InputError:
    place = shorten(".".join(str(part) for part in found["loc"])) or "body"
    given = "nothing" if found["type"] == "missing" else found["input"]
    shown = given.decode("utf-8", "replace") if isinstance(given, bytes) else given
    return InputError(place, shown, found["msg"])
