"""The yard: a page that works without the bench, what it takes along, and what it brings back."""

from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import redirect, render
from django.templatetags.static import static
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext
from django.views.decorators.http import require_POST

from snath.quantities.errors import InputError
from snath.shop.bench import show
from snath.shop.bench.fields import fault_words
from snath.shop.bench.preferences import Preferences, preferences_of
from snath.shop.bench.rulebook import shop_book
from snath.shop.bench.shelf.instruments import shop_instruments
from snath.shop.bench.yard.entries import put_away, take, waiting
from snath.shop.paper.wall_chart import chart_rows, sizes_between
from snath.shop.records.models import JobRecord
from snath.shop.records.store import shop_settings
from snath.shop.site.access import known_person, open_to_all

JOBS_ALONG = 60
INCH = 0.0254
SIZES = {"inch": (16 * INCH, 30 * INCH, INCH), "metric": (0.4, 0.76, 0.02)}


@open_to_all
def yard(request: HttpRequest) -> HttpResponse:
    """The page itself: nobody's own, so that it may lie on the phone."""
    return render(request, "bench/yard/yard.html")


@open_to_all
def unsent(request: HttpRequest) -> HttpResponse:
    """What is shown where a form could not be sent."""
    return render(request, "bench/yard/unsent.html")


@open_to_all
def worker(request: HttpRequest) -> HttpResponse:
    """The script that answers where the bench does not; it lies at the root, so that it stands for every page."""
    return render(
        request, "bench/yard/worker.js", {"static_url": settings.STATIC_URL}, content_type="text/javascript"
    )


@open_to_all
def manifest(request: HttpRequest) -> JsonResponse:
    """What a phone needs to keep the bench among its own programs."""
    del request
    mark = {"src": static("bench/mark.svg"), "sizes": "any", "type": "image/svg+xml", "purpose": "any"}
    return JsonResponse(
        {
            "name": "Snath",
            "short_name": "Snath",
            "description": gettext("How fast may it turn? Limits, cards and readings, in the yard too."),
            "start_url": reverse("bench:yard"),
            "scope": "/",
            "display": "standalone",
            "background_color": "#f7f6f1",
            "theme_color": "#17476e",
            "icons": [mark],
        },
        content_type="application/manifest+json",
    )


def along(request: HttpRequest) -> JsonResponse:
    """What a phone takes along: limits worked out here, by job and by blade, and whose phone it is. No customers."""
    preferences, who = preferences_of(request), known_person(request)
    records = JobRecord.objects.exclude(waits_for="").select_related("machine").order_by("-changed_at")
    return JsonResponse(
        {
            "at": timezone.now().isoformat(),
            "token": get_token(request),
            "person": str(who.pk),
            "jobs": [_job(record, preferences) for record in records[:JOBS_ALONG]],
            "blades": _blades(preferences),
            "instruments": [[one.id, one.name] for one in shop_instruments()],
        }
    )


def _job(record: JobRecord, preferences: Preferences) -> dict[str, Any]:
    limit = show.speed(record.ceiling, preferences, round="down")
    return {
        "number": record.number,
        "name": record.machine.name if record.machine else record.title,
        "serial": record.machine.serial if record.machine else "",
        "limit": str(limit) if limit else "",
    }


def _blades(preferences: Preferences) -> list[list[str]]:
    """Never above, by blade length, for a blade on the crankshaft whose width is not known: as on the wall chart."""
    sizes = sizes_between(*SIZES[preferences.units])
    rows = chart_rows(sizes, shop_book(), width=None, market=shop_settings().market)
    return [
        [show.length(row.blade, preferences), str(show.speed(row.ceiling, preferences, round="down"))]
        for row in rows
    ]


@require_POST
def taken(request: HttpRequest) -> JsonResponse:
    """Take one entry of a phone; sent twice it is there once. Somebody else's is refused."""
    who = known_person(request)
    sent = {name: str(request.POST.get(name, "")) for name in request.POST}
    if sent.get("person") != str(who.pk):
        words = gettext("taken down by somebody else: they must log in on this phone to send it")
        return JsonResponse({"refused": words}, status=409)
    try:
        entry = take(who, sent)
    except InputError as fault:
        return JsonResponse({"refused": fault_words(fault, preferences_of(request).decimal_mark)}, status=422)
    return JsonResponse({"taken": entry.key})


def from_yard(request: HttpRequest) -> HttpResponse:
    """Entries that wait to be looked at; only the forms they open in judge anything."""
    who = known_person(request)
    if request.method == "POST":
        put_away(who, request.POST.get("entry", ""))
        return redirect("bench:from-yard")
    entries = waiting(who)
    if request.GET.get("count"):
        return render(request, "bench/yard/count.html", {"waiting": len(entries)})
    rows = []
    for entry in entries:
        number = entry.boxes.get("job", "")
        known = number.isdecimal() and JobRecord.objects.filter(number=number, version__gt=0).exists()
        reading = reverse("bench:job-reading", args=[number]) if known else ""
        address = reverse("bench:card") if entry.kind == "card" else reading
        rows.append({"entry": entry, "address": f"{address}?yard={entry.key}" if address else ""})
    return render(request, "bench/yard/waiting.html", {"rows": rows})
