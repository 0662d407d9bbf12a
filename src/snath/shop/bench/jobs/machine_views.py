"""The machine of a job: entered box by box or pasted as a sheet, kept as the same sheet either way."""

from uuid import UUID

from django import forms
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext, gettext_lazy

from snath.decisions.machine.sheet import read_sheet
from snath.quantities.errors import InputErrors
from snath.shop.bench.drafts import KeptDraft, draft_of
from snath.shop.bench.drive.kept_route import marked
from snath.shop.bench.fields import fault_words
from snath.shop.bench.jobs.entries import Entries, after, blank, from_post, from_sheet
from snath.shop.bench.jobs.kept import countersigned, newest
from snath.shop.bench.jobs.machine_form import MachineForm
from snath.shop.bench.jobs.page import page, steps_of
from snath.shop.bench.jobs.saving import save_change, saved
from snath.shop.bench.jobs.start import on_new_machine, only_named_otherwise, shelve, start
from snath.shop.bench.jobs.usual import following
from snath.shop.bench.preferences import preferences_of
from snath.shop.bench.refusals import Refusing
from snath.shop.records.models import Customer, MachineRecord, Person

FROM_ASK = {
    "p0_length": "blade",
    "p0_measured": "measured",
    "p0_width": "width",
    "d0_driver_outside": "engine_pulley",
    "d0_driven_outside": "blade_pulley",
    "d0_section": "section",
    "d0_turns_in": "turns_in",
    "d0_turns_out": "turns_out",
    "d0_resolution": "resolution",
}


def new_machine(request: HttpRequest) -> HttpResponse:
    """The guided form for a machine that is not on the shelf; saving it opens its job."""
    whom = customer_asked(request)
    # what was begun for one is never put before another
    key = f"machine:new:{whom.pk}" if whom else "machine:new"
    draft = draft_of(request, key)
    if request.method == "POST":
        answer = _posted(request, key)
        if isinstance(answer, HttpResponse):
            return answer
        machine, sheet = answer
        who = request.user
        assert isinstance(who, Person)
        record = shelve(machine, sheet, customer=owner_of(request))
        opened = start(who, record, machine)
        return redirect(saved(reverse("bench:job-window", args=[opened.number]), draft))
    begun = blank() | ({"customer": str(whom.pk)} if whom else {})
    entries = _asked(request) if "blade" in request.GET else _drafted(draft) or begun
    return _form_page(
        request, MachineForm(entries, preferences=preferences_of(request), sent=False), key, draft.at
    )


def job_machine(request: HttpRequest, number: int) -> HttpResponse:
    """The machine of a job as it stands, to be changed; the job gets a new version, its old ones stay."""
    job = newest(number)
    key = f"job:{number}:machine"
    draft = draft_of(request, key)
    if request.method == "POST":
        answer = _posted(request, key, number)
        if isinstance(answer, HttpResponse):
            return answer
        machine, sheet = answer
        on_shelf = job.record.machine
        return save_change(
            request,
            job,
            lambda now: on_new_machine(now, machine),
            note=gettext("machine sheet changed"),
            then="bench:job-window",
            draft=draft,
            settled=countersigned(job.job) and only_named_otherwise(job.job.machine, machine),
            also=lambda: on_shelf and shelve(machine, sheet, customer=None, record=on_shelf),
        )
    sheet = job.record.machine.sheet if job.record.machine else ""
    entries = _drafted(draft) or (
        from_sheet(sheet, preferences_of(request).decimal_mark) if sheet else blank(name=job.job.machine.name)
    )
    form = MachineForm(entries, preferences=preferences_of(request), sent=False)
    return _form_page(request, form, key, draft.at, number)


def _posted(request: HttpRequest, key: str, number: int | None = None):  # type: ignore[no-untyped-def]
    """The machine and its sheet, or the page to show instead."""
    entries, do = from_post(request.POST), request.POST.get("do", "")
    preferences = preferences_of(request)
    if do:
        form = MachineForm(following(after(entries, do)), preferences=preferences, sent=False)
        return _form_page(request, form, key, 0.0, number)
    form = MachineForm(entries, preferences=preferences, sent=True)
    return form.machine() or _form_page(request, form, key, 0.0, number)


def _form_page(
    request: HttpRequest, form: MachineForm, key: str, draft_at: float, number: int | None = None
) -> HttpResponse:
    shared = {"form": form, "draft_key": key, "draft_at": draft_at, **whose(request, form.entries)}
    if number is None:
        context = {"steps": steps_of(None, "machine"), **shared}
    else:
        context = page(request, newest(number), "machine", **shared)
    status = 422 if form.is_bound and form.errors else 200
    return render(request, "bench/jobs/machine.html", context, status=status)


def _drafted(draft: KeptDraft) -> Entries:
    # A draft may have been sent between the choice of another kind and the boxes that follow it.
    entries = {name: values[0] for name, values in draft.fields.items() if values}
    return following(entries) if entries else {}


def _asked(request: HttpRequest) -> Entries:
    """What the quick ask was asked, as boxes."""
    given = {box: request.GET.get(name, "")[:200] for box, name in FROM_ASK.items()}
    entries = blank() | {box: value for box, value in given.items() if value}
    if not given["p0_measured"]:
        entries["p0_measured"] = "corner to corner"
    if given["d0_driver_outside"] or given["d0_turns_in"]:
        spindle = gettext("spindle %(number)d") % {"number": 1}
        kind = "counted" if given["d0_turns_in"] else "belt"
        entries |= {"drives": "1", "d0_driven": spindle, "d0_kind": kind, "p0_shaft": spindle}
    if request.GET.get("flush"):
        entries = after(entries, "all-flush")
    return entries


def customers() -> list[Customer]:
    """Customers to choose from, the newest first."""
    return list(Customer.objects.filter(erased_at=None).order_by("-created_at")[:200])


def customer_asked(request: HttpRequest) -> Customer | None:
    """For whom a page was opened from that customer's own."""
    key = request.GET.get("customer", "")
    try:
        return get_object_or_404(Customer, pk=UUID(key), erased_at=None) if key else None
    except ValueError:
        raise Http404 from None


def whose(request: HttpRequest, kept: Entries) -> dict[str, object]:
    """Customers to choose from, and what was chosen or typed of one before."""
    before = from_post(request.POST) if request.method == "POST" else kept
    names = ("customer", "customer_name", "customer_phone")
    whom = customer_asked(request)
    known = list(dict.fromkeys([*([whom] if whom else []), *customers()]))
    return {"customers": known, "typed": {name: before.get(name, "") for name in names}}


def owner_of(request: HttpRequest) -> Customer | None:
    """The customer chosen, or the new one whose name was typed."""
    name = request.POST.get("customer_name", "").strip()[:120]
    if name:
        return Customer.objects.create(name=name, phone=request.POST.get("customer_phone", "").strip()[:60])
    chosen = request.POST.get("customer", "")
    return get_object_or_404(Customer, pk=chosen) if chosen else None


class PasteForm(Refusing, forms.Form):
    """A whole machine sheet as text."""

    use_required_attribute = False
    sheet = forms.CharField(
        label=gettext_lazy("Machine sheet"),
        max_length=200_000,
        widget=forms.Textarea(attrs={"class": "sheet", "spellcheck": "false", "wrap": "off"}),
        strip=False,
    )


def paste(request: HttpRequest) -> HttpResponse:
    """A sheet pasted or typed; every fault with its line."""
    key = "machine:paste"
    draft = draft_of(request, key)
    form = PasteForm(request.POST or None, initial={"sheet": (draft.fields.get("sheet") or [""])[0]})
    if request.method == "POST" and form.is_valid():
        preferences = preferences_of(request)
        try:
            machine = read_sheet(form.cleaned_data["sheet"], decimal_mark=preferences.decimal_mark)
        except InputErrors as found:
            for fault in found.faults:
                form.add_error("sheet", f"{fault.field}: {fault_words(fault, preferences.decimal_mark)}")
        else:
            who = request.user
            assert isinstance(who, Person)
            sheet = marked(form.cleaned_data["sheet"], preferences.decimal_mark)
            record: MachineRecord = shelve(machine, sheet, customer=owner_of(request))
            opened = start(who, record, machine)
            return redirect(saved(reverse("bench:job-window", args=[opened.number]), draft))
    context = {"form": form, "draft_key": key, "draft_at": draft.at, **whose(request, _drafted(draft))}
    status = 422 if form.is_bound else 200
    return render(request, "bench/jobs/paste.html", context, status=status)
