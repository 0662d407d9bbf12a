"""What happened, one JSON object a line, each request with a number, and never a word of what a customer is called.

A line holds the pattern of an address and not the address, the kind of a fault and where it arose and not its words:
those may repeat what somebody typed. Machines read them; a person finds a page's number in them again.
"""

import itertools
import json
import logging
import secrets
import time
import traceback
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

from django.http import HttpRequest, HttpResponseBase

NUMBER = "X-Request-Number"
REQUESTS = logging.getLogger("snath.requests")
PLAIN = (
    "django",
    "snath",
    "_granian",
)  # whose words are known to hold nothing of anybody where nothing is filled in
_this_process, _count = secrets.token_hex(3), itertools.count(1)


class JsonLines(logging.Formatter):
    """One JSON object a record."""

    def format(self, record: logging.LogRecord) -> str:
        """The line, without its end."""
        line = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "from": record.name,
        }
        told: dict[str, Any] | None = getattr(record, "told", None)
        if told is None:
            plain = record.name.split(".")[0] in PLAIN
            told = {"said": str(record.msg) if plain else f"{record.module}, line {record.lineno}"}
            number = getattr(getattr(record, "request", None), "number", None)
            told |= {"request": number} if number else {}
        fault = record.exc_info[1] if record.exc_info else None
        return json.dumps(line | told | (_told_of(fault) if fault else {}), ensure_ascii=False)


def _told_of(fault: BaseException) -> dict[str, Any]:
    """A fault by its kind and the lines it came through, and that of what caused it."""
    kinds: list[str] = []
    one: BaseException | None = fault
    while one is not None and len(kinds) < 5:
        kinds.append(type(one).__name__)
        one = one.__cause__ or one.__context__
    frames = traceback.extract_tb(fault.__traceback__)[-8:]
    return {"fault": kinds, "where": [f"{f.filename}:{f.lineno} {f.name}" for f in frames]}


class Numbered:
    """Give each request a number, and write down how it went."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        number, begun = f"{_this_process}-{next(_count)}", time.perf_counter()
        request.number = number  # type: ignore[attr-defined]
        response = self.get_response(request)
        response.headers[NUMBER] = number
        if REQUESTS.isEnabledFor(logging.INFO):
            match = request.resolver_match
            asked = {"request": number, "method": request.method, "page": match.view_name if match else None}
            took = round(1000 * (time.perf_counter() - begun), 1)
            REQUESTS.info("", extra={"told": asked | {"status": response.status_code, "ms": took}})
        return response


def logging_setup(*, lines: bool) -> dict[str, Any]:
    """How the framework and the web server log: in JSON lines with all requests, or in words what goes wrong."""
    console = {"class": "logging.StreamHandler", **({"formatter": "lines"} if lines else {})}
    level = "INFO" if lines else "WARNING"
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {"lines": {"()": "snath.shop.site.log_lines.JsonLines"}},
        "handlers": {"console": console},
        "root": {"handlers": ["console"], "level": "WARNING"},
        "loggers": {
            "snath.requests": {"level": level},
            "django": {"handlers": [], "level": "WARNING", "propagate": True},
            "_granian": {"handlers": ["console"], "propagate": False},
        },
    }
