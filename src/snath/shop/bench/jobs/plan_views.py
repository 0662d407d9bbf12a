"""Keep when a machine was promised back, and whom outside the job it waits for."""

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext, gettext_lazy, gettext_noop

from snath.shop.bench.jobs.kept import countersigned, newest, waits_for
from snath.shop.bench.jobs.page import page
from snath.shop.bench.refusals import Refusing
from snath.shop.records.models import Person, Waits
from snath.shop.records.store import audit

HELD_FOR = (
    ("", gettext_lazy("what the job itself says")),
    (Waits.PART, gettext_lazy("a part")),
    (Waits.SIGNATURE, gettext_lazy("a signature")),
    (Waits.CUSTOMER, gettext_lazy("the customer")),
)


class PlanForm(Refusing, forms.Form):
    """A date and what is waited for; neither is part of the record that is signed."""

    use_required_attribute = False

    due_back = forms.DateField(
        label=gettext_lazy("Due back"),
        required=False,
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
    )
    held_for = forms.ChoiceField(
        label=gettext_lazy("It waits for"), choices=HELD_FOR, required=False, widget=forms.RadioSelect
    )


def plan(request: HttpRequest, number: int) -> HttpResponse:
    """The page; the job's record itself gets no new version."""
    job = newest(number)
    record = job.record
    initial: dict[str, Any] = {"due_back": record.due_back, "held_for": record.held_for}
    form = PlanForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        who = request.user
        assert isinstance(who, Person)
        record.due_back, record.held_for = form.cleaned_data["due_back"], form.cleaned_data["held_for"]
        own = waits_for(job.job, job.result, settled=countersigned(job.job))
        record.waits_for = record.held_for or own
        record.save(update_fields=["due_back", "held_for", "waits_for"])
        audit(who, gettext_noop("planned job"), number)
        messages.success(request, gettext("Kept."))
        return redirect("bench:job", number)
    context = page(request, job, "", form=form)
    return render(request, "bench/jobs/plan.html", context, status=422 if form.errors else 200)
