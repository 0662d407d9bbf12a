"""The door for live sound: one piece in, the figure as it stands out."""

import re
import uuid
from typing import Any

import numpy as np
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext
from django.views.decorators.http import require_POST

from snath.quantities.errors import InputError
from snath.shop.bench import show
from snath.shop.bench.jobs.kept import newest
from snath.shop.bench.measure.sessions import LARGEST_PIECE, session_of
from snath.shop.bench.measure.turning import Turning, turning
from snath.shop.bench.measure.views import shown
from snath.shop.bench.preferences import Preferences, preferences_of
from snath.shop.records.heard import keep_piece, shared
from snath.shop.site.access import readers_may_post

WHOLE = re.compile(r"[0-9]{1,12}")


def beside(found: Turning, preferences: Preferences) -> dict[str, Any]:
    """The limit, the band and the way, as the page says them."""
    band = ""
    if found.low is not None and found.high is not None:
        low, high = (
            show.speed(found.low, preferences, round="up"),
            show.speed(found.high, preferences, round="down"),
        )
        band = gettext("set between %(low)s and %(high)s") % {"low": low, "high": high}
    ceiling = show.speed(found.ceiling, preferences, round="down")
    return {"never_above": ceiling, "band": band, "way": found.way}


@require_POST
@readers_may_post
def piece(request: HttpRequest) -> HttpResponse:
    """Half a second of mono 16 bit sound, numbered, with the sample it starts at and its rate."""
    given = {name: request.GET.get(name, "") for name in ("number", "start", "rate", "job")}
    try:
        key = str(uuid.UUID(request.GET.get("session", "")))
    except ValueError:
        return HttpResponse(status=400)
    body = request.body
    wanted = [given[name] for name in ("number", "start", "rate")]
    if not all(WHOLE.fullmatch(text) for text in wanted) or len(body) > LARGEST_PIECE or len(body) % 2:
        return HttpResponse(status=400)
    number, start, rate = map(int, wanted)
    job = newest(int(given["job"])) if WHOLE.fullmatch(given["job"]) else None
    machine = job.job.machine if job else None
    page = f"{request.user.pk}:{key}"
    try:
        session = session_of(page, rate, machine)
    except InputError:
        return HttpResponse(status=400)
    with session.lock:
        session.hear_others(page, before=number)
        reading = session.push(np.frombuffer(body, dtype="<i2"), start, number)
    if shared():
        keep_piece(page, number=number, start=start, rate=rate, sound=body)
    preferences = preferences_of(request)
    context = {"answer": shown(reading, preferences), "restarts": session.reader.restarts}
    if job is not None:
        context["beside"] = beside(turning(reading, job.result.window, job.job.machine), preferences)
    return render(request, "bench/measure/figure.html", context)
