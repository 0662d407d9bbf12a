"""The day at a glance: what waits for what, what is due, and what to look at before any setting."""

from datetime import timedelta

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext

from snath.shop.bench.jobs.list_views import job_rows
from snath.shop.bench.preferences import preferences_of
from snath.shop.bench.shelf.first_start import is_new
from snath.shop.bench.shelf.instrument_views import instrument_row
from snath.shop.records.models import InstrumentRecord, JobRecord
from snath.shop.records.store import shop_settings
from snath.shop.site.ready_pages import kept_ready

SHOWN = 60
SOON = timedelta(days=30)


@kept_ready
def today(request: HttpRequest) -> HttpResponse:
    """One page, three lists."""
    preferences = preferences_of(request)
    waiting = (
        JobRecord.objects.exclude(waits_for="").select_related("machine", "customer").order_by("-changed_at")
    )
    jobs = job_rows(waiting[: SHOWN + 1], preferences)
    soon = timezone.localdate() + SOON
    instruments = InstrumentRecord.objects.filter(retired=False).order_by("due_on", "name")
    context = {
        "groups": [
            (title, [row for row in jobs[:SHOWN] if row["record"].waits_for == key])  # type: ignore[attr-defined]
            for key, title in (
                ("reading", gettext("Wait for a reading")),
                ("check", gettext("Wait for a check of the machine")),
                ("part", gettext("Wait for a part")),
                ("repair", gettext("Wait for a repair")),
                ("signature", gettext("Wait for a signature")),
                ("customer", gettext("Wait for the customer")),
            )
        ],
        "more": len(jobs) > SHOWN,
        "instruments": [
            instrument_row(row) for row in instruments[:SHOWN] if row.check_by is None or row.check_by <= soon
        ],
        "look_first": look_first(),
        "new_shop": is_new(shop_settings()),
    }
    return render(request, "bench/today.html", context)


def look_first() -> list[tuple[str, str]]:
    """What to look at before any speed is set: a governor cannot hold what drags."""
    return [
        (gettext("Choke"), gettext("Fully off. A sticking choke plate reads as a weak governor.")),
        (gettext("Cable"), gettext("Lets the lever reach its stop; nothing holds it short.")),
        (gettext("Linkage"), gettext("Free through its whole way, springs in the right holes.")),
        (gettext("Filter"), gettext("Clean, and on: the engine runs otherwise without it.")),
        (gettext("Deck"), gettext("Clean underneath, blades tight, nothing rubbing.")),
        (gettext("Warm"), gettext("Five minutes at work, then read. Cold oil drags.")),
    ]
