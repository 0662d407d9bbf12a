"""The door for live sound: one piece in, the figure as it stands out."""

import re
import uuid

import numpy as np
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_POST

from snath.quantities.errors import InputError
from snath.shop.bench.jobs.kept import newest
from snath.shop.bench.liking import liking_of
from snath.shop.bench.measure.sessions import LARGEST_PIECE, session_of
from snath.shop.bench.measure.views import shown
from snath.shop.site.access import readers_may_post

WHOLE = re.compile(r"[0-9]{1,12}")


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
    machine = newest(int(given["job"])).job.machine if WHOLE.fullmatch(given["job"]) else None
    try:
        session = session_of(f"{request.user.pk}:{key}", rate, machine)
    except InputError:
        return HttpResponse(status=400)
    with session.lock:
        reading = session.push(np.frombuffer(body, dtype="<i2"), start, number)
    context = {"answer": shown(reading, liking_of(request)), "restarts": session.reader.restarts}
    return render(request, "bench/measure/figure.html", context)
