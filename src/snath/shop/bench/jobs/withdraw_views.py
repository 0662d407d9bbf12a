"""Withdraw a reading: it is struck through with a reason and a name, stays in the record, and counts no more."""

from dataclasses import replace

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.functional import Promise
from django.utils.translation import gettext, gettext_lazy
from django.views.decorators.http import require_POST

from snath.decisions.job.job import Job, Stage
from snath.decisions.reading.reading import Withdrawal
from snath.shop.bench.jobs.kept import newest
from snath.shop.bench.jobs.page import now
from snath.shop.bench.jobs.saving import save_change
from snath.shop.records.people import Person

LONGEST = 200
REASONS: tuple[tuple[str, str | Promise], ...] = (
    ("misread", gettext_lazy("misread or mistyped")),
    ("state", gettext_lazy("engine cold, choke on or lever off its stop")),
    ("condition", gettext_lazy("taken in another condition than said")),
    ("instrument", gettext_lazy("tachometer in doubt")),
)
STAGES = {"as found": "as_found", "as left": "as_left"}


@require_POST
def withdraw(request: HttpRequest, number: int) -> HttpResponse:
    """Strike one reading through, for one of the usual reasons or another in words."""
    job, who, given = newest(number), request.user, request.POST
    assert isinstance(who, Person)
    reason = given.get("other", "").strip()[:LONGEST] or str(dict(REASONS).get(given.get("reason", ""), ""))
    stage, place = STAGES.get(given.get("stage", "")), given.get("place", "")
    if stage is None or not reason or not place.isdecimal() or len(place) > 4:
        raise Http404
    withdrawal = Withdrawal(reason, who.name, now())
    return save_change(
        request,
        job,
        lambda kept: without(kept, stage, int(place), withdrawal),
        note=gettext("reading withdrawn: %(reason)s") % {"reason": reason},
        then="bench:job",
    )


def without(job: Job, stage: str, place: int, withdrawal: Withdrawal) -> Job:
    """The job with that reading struck through; one that is so already keeps its first reason."""
    kept: Stage = getattr(job, stage)
    if place >= len(kept.readings):
        raise Http404
    if kept.readings[place].withdrawn is not None:
        return job
    readings = list(kept.readings)
    readings[place] = replace(readings[place], withdrawn=withdrawal)
    changed = replace(kept, readings=tuple(readings))
    return replace(job, as_found=changed) if stage == "as_found" else replace(job, as_left=changed)
