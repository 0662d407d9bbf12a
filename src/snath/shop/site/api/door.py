"""Let other programs in: by a key in a header and nothing else, so often and so much, and never a browser's page.

It stands before sessions, cookies and forms, so that none of them is ever looked at here. Without a key nothing is
answered, on the shop's own machine as little as elsewhere.
"""

from collections.abc import Callable
from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from pydantic import ValidationError

from snath.quantities.errors import InputError, InputErrors, shorten
from snath.rules.load import shipped_rules, with_shop_rules
from snath.shop.answers.facts import as_data
from snath.shop.records.api_keys import ApiKey, Scope
from snath.shop.records.keys import known_key
from snath.shop.records.models import ShopRule
from snath.shop.site.access import is_loopback
from snath.shop.site.api.described import ITSELF, description
from snath.shop.site.api.lists import jobs, machines
from snath.shop.site.api.rates import Rates
from snath.shop.site.api.refusals import faulty, for_programs, must_be, refused, too_often
from snath.shop.site.api.works import WORKS, worked

Answer = Callable[[HttpRequest], HttpResponseBase]
ROOT = "/api/1/"
MOST_BYTES = 500_000
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
    scheme, _, text = request.headers.get("Authorization", "").partition(" ")
    key = known_key(text.strip()) if scheme.lower() == "bearer" else None
    if key is None:
        _wrong.take(address)
        return refused(401, "Authorization", "must be Bearer and a key that holds")
    if not _asked.take(str(key.pk)):
        return too_often()
    try:
        return _routed(request, key)
    except InputError as fault:
        return faulty((fault,))
    except InputErrors as faults:
        return faulty(faults.faults)


def _routed(request: HttpRequest, key: ApiKey) -> HttpResponse:
    name = request.path.removeprefix(ROOT).rstrip("/") if request.path.startswith(ROOT) else ""
    if name in WORKS:
        return _worked(request, name) if request.method == "POST" else must_be("POST")
    if name not in READS:
        return refused(404, "path", f"must be one of {', '.join(ROOT + known for known in (*WORKS, *READS))}")
    if request.method != "GET":
        return must_be("GET")
    if name != ITSELF and key.scope != Scope.READ:
        return refused(403, "scope", "this key may only work something out")
    return JsonResponse(as_data(READS[name](request)))


def _worked(request: HttpRequest, name: str) -> HttpResponse:
    if int(request.META.get("CONTENT_LENGTH") or 0) > MOST_BYTES:
        return refused(413, "body", f"must be at most {MOST_BYTES} bytes")
    if request.content_type != "application/json":
        return refused(415, "Content-Type", "must be application/json")
    try:
        asked = WORKS[name][0].model_validate_json(request.body)
    except ValidationError as faults:
        return faulty(tuple(_fault(one) for one in faults.errors(include_url=False)))
    own = "\n".join(ShopRule.objects.filter(in_force=True).order_by("rule_id").values_list("text", flat=True))
    book = with_shop_rules(shipped_rules(), own) if own else shipped_rules()
    return JsonResponse(worked(name, asked, book))


def _fault(found: Any) -> InputError:
    place = shorten(".".join(str(part) for part in found["loc"])) or "body"
    given = "nothing" if found["type"] == "missing" else found["input"]
    shown = given.decode("utf-8", "replace") if isinstance(given, bytes) else given
    return InputError(place, shown, found["msg"])


READS: dict[str, Callable[[HttpRequest], Any]] = {
    "jobs": jobs,
    "machines": machines,
    ITSELF: lambda _: description(),
}
