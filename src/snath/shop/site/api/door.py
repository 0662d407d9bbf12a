"""Let other programs in: by a key in a header and nothing else, so often and so much, and never a browser's page.

It stands before sessions, cookies and forms, so that none of them is ever looked at here. Without a key nothing is
answered, on the shop's own machine as little as elsewhere.
"""

import time
from collections import OrderedDict
from collections.abc import Callable
from threading import Lock
from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from pydantic import ValidationError

from snath.quantities.errors import InputError, InputErrors
from snath.rules.load import shipped_rules, with_shop_rules
from snath.shop.records.api_keys import ApiKey, Scope
from snath.shop.records.keys import known_key
from snath.shop.records.models import JobRecord, MachineRecord, ShopRule
from snath.shop.site.access import is_loopback
from snath.shop.site.api.described import description
from snath.shop.site.api.works import WORKS, worked
from snath.words.render import ENGLISH, say

Answer = Callable[[HttpRequest], HttpResponseBase]
ROOT = "/api/1/"
MOST_BYTES, A_PAGE = 500_000, 100
RATE, BURST = 5.0, 30.0  # requests a second of one key in the long run, and at once
WRONG_RATE, WRONG_BURST = 0.1, 10.0  # wrong keys of one address
MOST_KNOWN = 4096  # keys and addresses whose rate is remembered


class Rates:
    """How often each may still ask: a bucket that fills steadily. Lives in the one process that serves."""

    def __init__(self, rate: float, burst: float) -> None:
        self._rate, self._burst, self._lock = rate, burst, Lock()
        self._left: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def left(self, who: str) -> float:
        """What is in the bucket."""
        now = time.monotonic()
        amount, at = self._left.get(who, (self._burst, now))
        return min(self._burst, amount + (now - at) * self._rate)

    def take(self, who: str) -> bool:
        """Take one out; False where there is none."""
        with self._lock:
            left = self.left(who)
            self._left[who] = (max(left - 1, 0.0) if left >= 1 else left, time.monotonic())
            self._left.move_to_end(who)
            while len(self._left) > MOST_KNOWN:
                self._left.popitem(last=False)
            return left >= 1


_asked, _wrong = Rates(RATE, BURST), Rates(WRONG_RATE, WRONG_BURST)


class ApiDoor:
    """Answer what is below the API's root; everything else goes on to the pages."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        if not request.path.startswith("/api/"):
            return self.get_response(request)
        return answer_of(request)


def answer_of(request: HttpRequest) -> HttpResponse:
    """The answer to another program."""
    address = request.META.get("REMOTE_ADDR", "")
    if "Origin" in request.headers or "Sec-Fetch-Site" in request.headers:
        return _refused(403, "browser", "no page of a browser is answered here")
    if not settings.LAN and not is_loopback(address):
        return _refused(403, "address", "start the program with --lan to reach it from elsewhere")
    if _wrong.left(address) < 1:
        return _too_often()
    scheme, _, text = request.headers.get("Authorization", "").partition(" ")
    key = known_key(text.strip()) if scheme.lower() == "bearer" else None
    if key is None:
        _wrong.take(address)
        return _refused(401, "Authorization", "must be Bearer and a key that holds")
    if not _asked.take(str(key.pk)):
        return _too_often()
    try:
        return _routed(request, key)
    except InputError as fault:
        return _faulty((fault,))
    except InputErrors as faults:
        return _faulty(faults.faults)


def _routed(request: HttpRequest, key: ApiKey) -> HttpResponse:
    name = request.path.removeprefix(ROOT).rstrip("/") if request.path.startswith(ROOT) else ""
    if name in WORKS:
        return _worked(request, name) if request.method == "POST" else _not_so("POST")
    if name not in READS:
        return _refused(
            404, "path", f"must be one of {', '.join(ROOT + known for known in (*WORKS, *READS))}"
        )
    if request.method != "GET":
        return _not_so("GET")
    if name != "openapi.json" and key.scope != Scope.READ:
        return _refused(403, "scope", "this key may only work something out")
    return JsonResponse(READS[name](request))


def _worked(request: HttpRequest, name: str) -> HttpResponse:
    if int(request.META.get("CONTENT_LENGTH") or 0) > MOST_BYTES:
        return _refused(413, "body", f"must be at most {MOST_BYTES} bytes")
    if request.content_type != "application/json":
        return _refused(415, "Content-Type", "must be application/json")
    try:
        asked = WORKS[name][0].model_validate_json(request.body)
    except ValidationError as faults:
        return _faulty(tuple(_fault(one) for one in faults.errors(include_url=False)))
    own = "\n".join(ShopRule.objects.filter(in_force=True).order_by("rule_id").values_list("text", flat=True))
    book = with_shop_rules(shipped_rules(), own) if own else shipped_rules()
    return JsonResponse(worked(name, asked, book))


def _fault(found: Any) -> InputError:
    place = ".".join(str(part) for part in found["loc"]) or "body"
    given = found["input"]
    shown = given.decode("utf-8", "replace") if isinstance(given, bytes) else given
    return InputError(place, shown, found["msg"])


def _jobs(request: HttpRequest) -> dict[str, Any]:
    after = _after(request)
    rows = JobRecord.objects.select_related("machine").filter(number__gt=after).order_by("number")[:A_PAGE]
    return {
        "jobs": [
            {
                "number": row.number,
                "machine": str(row.machine_id) if row.machine_id else None,
                "name": row.machine.name if row.machine else row.title,
                "serial": row.machine.serial if row.machine else "",
                "waits_for": row.waits_for,
                "verdict": None
                if row.stale
                else row.verdict or None,  # as every list: no word of another program
                "as_found_rpm": _rpm(row.as_found_rev_s),
                "as_left_rpm": _rpm(row.as_left_rev_s),
                "ceiling_rpm": None if row.ceiling_rev_s is None else int(row.ceiling_rev_s * 60 + 1e-6),
            }
            for row in rows
        ]
    }


def _machines(request: HttpRequest) -> dict[str, Any]:
    after = _after(request)
    rows = MachineRecord.objects.select_related("fleet").order_by("created_at", "pk")[after : after + A_PAGE]
    found = []
    for row in rows:
        entry = getattr(row, "fleet", None)
        found.append(
            {
                "id": str(row.pk),
                "name": row.name,
                "serial": row.serial,
                "kind": row.kind,
                "number": entry.number if entry else "",
                "read_on": entry.read_on.isoformat() if entry and entry.read_on else None,
                "due_on": entry.due_on.isoformat() if entry and entry.due_on else None,
                "shut": entry.shut if entry else None,
                "over": entry.over if entry else None,
            }
        )
    return {"machines": found}


def _after(request: HttpRequest) -> int:
    text = request.GET.get("after", "0")
    if not (text.isascii() and text.isdecimal() and len(text) < 10):
        raise InputError("after", text, "must be a whole number from 0")
    return int(text)


def _rpm(speed: float | None) -> float | None:
    return None if speed is None else round(speed * 60, 1)


READS: dict[str, Callable[[HttpRequest], dict[str, Any]]] = {
    "jobs": _jobs,
    "machines": _machines,
    "openapi.json": lambda _: description(),
}


def _faulty(faults: tuple[InputError, ...]) -> HttpResponse:
    rows = [
        {"field": one.field, "given": say(one.given, ENGLISH), "allowed": say(one.allowed, ENGLISH)}
        for one in faults
    ]
    return JsonResponse({"errors": rows}, status=422)


def _refused(status: int, field: str, allowed: str) -> HttpResponse:
    answer = JsonResponse({"errors": [{"field": field, "given": "", "allowed": allowed}]}, status=status)
    if status == 401:
        answer.headers["WWW-Authenticate"] = "Bearer"
    return answer


def _not_so(method: str) -> HttpResponse:
    answer = _refused(405, "method", f"must be {method}")
    answer.headers["Allow"] = method
    return answer


def _too_often() -> HttpResponse:
    answer = _refused(429, "rate", "ask again in a minute")
    answer.headers["Retry-After"] = "60"
    return answer
