"""How a change to a job is saved: as its next version, whole or not at all, never over somebody else's."""

from collections.abc import Callable
from urllib.parse import quote

from django.contrib import messages
from django.db import transaction
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext

from snath.decisions.job.job import Job
from snath.shop.bench.drafts import KeptDraft
from snath.shop.bench.jobs.kept import OpenJob, keep
from snath.shop.bench.jobs.page import page
from snath.shop.records.people import Person
from snath.shop.records.store import Conflict


def save_change(
    request: HttpRequest,
    job: OpenJob,
    change: Callable[[Job], Job],
    *,
    note: str,
    then: str,
    form: BaseForm | None = None,
    draft: KeptDraft | None = None,
    settled: bool = False,
    also: Callable[[], object] | None = None,
) -> HttpResponse:
    """Save a change as the next version and go on; where somebody else was first, show both and let choose.

    The change is made to the newest version, so that keeping both loses neither. What must be kept together with it
    is done by `also`: both are kept, or neither.
    """
    who = request.user
    assert isinstance(who, Person)
    base = request.POST.get("base", "")
    expected = int(base) if base.isdecimal() and len(base) < 10 else -1
    try:
        with transaction.atomic():
            keep(job.record, change(job.job), base=expected, who=who, note=note, settled=settled)
            if also is not None:
                also()
    except Conflict as conflict:
        return two_versions(request, job, conflict, note, form)
    messages.success(request, gettext("Saved: version %(number)d.") % {"number": job.record.version})
    address = reverse(then, args=[job.record.number])
    return redirect(saved(address, draft) if draft else address)


def saved(address: str, draft: KeptDraft) -> str:
    """Forget a draft on the bench, and have the next page forget it on the device."""
    draft.drop()
    return f"{address}?kept={quote(draft.key)}"


def two_versions(
    request: HttpRequest, job: OpenJob, conflict: Conflict, note: str, form: BaseForm | None = None
) -> HttpResponse:
    """Both states side by side; the second saver's entries wait in the page itself, named as their boxes are."""
    entries = [
        (name, value)
        for name, values in request.POST.lists()
        if name not in ("csrfmiddlewaretoken", "base")
        for value in values
    ]
    boxes = form.fields if form else {}
    typed = [(boxes[name].label, value) for name, value in entries if name in boxes]
    context = page(request, job, "", theirs=conflict.theirs, mine=note, entries=entries, typed=typed)
    return render(request, "bench/jobs/two.html", context, status=409)
