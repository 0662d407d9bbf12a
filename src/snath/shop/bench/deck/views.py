"""Pages on which a belt is drawn: on a machine that is known, or with the machine it is on."""

from django.db import transaction
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_POST

from snath.quantities.errors import InputErrors
from snath.shop.bench.deck.back import entries_of
from snath.shop.bench.deck.compose import composed, frame_of
from snath.shop.bench.deck.form import DeckForm
from snath.shop.bench.deck.live import live
from snath.shop.bench.deck.machine import machine_of
from snath.shop.bench.deck.missing import missing
from snath.shop.bench.deck.start import for_machine, new_deck, with_idler, without
from snath.shop.bench.deck.wheels import count_of
from snath.shop.bench.drafts import KeptDraft, draft_of
from snath.shop.bench.drive.kept_route import route_of, with_route
from snath.shop.bench.drive.route_form import belt_couplings
from snath.shop.bench.fields import plainly
from snath.shop.bench.jobs.entries import Entries, from_post
from snath.shop.bench.jobs.kept import keep, newest
from snath.shop.bench.jobs.machine_views import owner_of, whose
from snath.shop.bench.jobs.page import page, steps_of
from snath.shop.bench.jobs.saving import save_change, saved
from snath.shop.bench.jobs.start import shelve, start
from snath.shop.bench.preferences import Preferences, preferences_of
from snath.shop.records.models import Person
from snath.shop.site.access import readers_may_post

SPINDLES = (1, 2, 3)
USUAL = 2


@readers_may_post
@require_POST
def deck_live(request: HttpRequest) -> JsonResponse:
    """What a drawing says as it stands; nothing is kept."""
    return JsonResponse(live(from_post(request.POST), preferences_of(request)))


def draw(request: HttpRequest, number: int) -> HttpResponse:
    """Draw the belt of a job's machine; the route it amounts to is kept with the job."""
    job, preferences = newest(number), preferences_of(request)
    if not belt_couplings(job.job.machine):
        return redirect("bench:job-drive", number)
    draft = draft_of(request, f"job:{number}:deck")
    known = entries_of(route_of(job.job), preferences) if route_of(job.job) else None
    entries = _entries(request, draft, known or for_machine(job.job.machine, preferences))
    form = DeckForm(entries, preferences=preferences, sent=_sending(request), new=False)
    context = {"form": form, "draft_key": draft.key, "draft_at": draft.at, "new": False}
    if _sending(request) and not _refused(form, entries, preferences):
        text = composed(entries, preferences, name=job.job.machine.name).text
        return save_change(
            request,
            job,
            lambda now: with_route(now, text),
            note=gettext("route of the belt drawn"),
            then="bench:job-drive",
            draft=draft,
        )
    lost = bool(route_of(job.job)) and known is None
    context |= {"not_drawable": lost}
    return _shown(request, page(request, job, "window", **context), form)


def new(request: HttpRequest) -> HttpResponse:
    """A machine whose belt drives several spindles, entered by drawing it; saving it opens its job."""
    preferences = preferences_of(request)
    draft = draft_of(request, "deck:new")
    asked = request.GET.get("spindles", "")
    wanted = int(asked) if asked in map(str, SPINDLES) else USUAL
    empty = KeptDraft(draft.key, draft.person)
    entries = _entries(request, empty if asked else draft, new_deck(wanted))
    form = DeckForm(entries, preferences=preferences, sent=_sending(request), new=True)
    if _sending(request):
        made = machine_of(entries, preferences)
        faults = made if isinstance(made, list) else []
        if not _refused(form, entries, preferences, faults) and not isinstance(made, list):
            machine, sheet = made
            text = composed(entries, preferences, name=machine.name).text
            who = request.user
            assert isinstance(who, Person)
            with transaction.atomic():
                record = shelve(machine, sheet, customer=owner_of(request))
                opened = start(who, record, machine)
                drawn = with_route(newest(opened.number).job, text)
                keep(opened, drawn, base=opened.version, who=who, note=gettext("route of the belt drawn"))
            return redirect(saved(reverse("bench:job-window", args=[opened.number]), draft))
    context = {
        "form": form,
        "draft_key": draft.key,
        "draft_at": draft.at,
        "new": True,
        "steps": steps_of(None, "machine"),
        "spindles": SPINDLES,
        "spindles_now": sum(wheel.role == "spindle" for wheel in form.wheels),
        **whose(request, entries),
    }
    return _shown(request, context, form)


def _sending(request: HttpRequest) -> bool:
    return request.method == "POST" and not request.POST.get("do")


def _entries(request: HttpRequest, draft: KeptDraft, fresh: Entries) -> Entries:
    """The boxes as sent, with an idler more or less where that was asked; else as left last time, else fresh."""
    if request.method != "POST":
        kept = {name: values[0] for name, values in draft.fields.items() if values}
        return kept if count_of(kept) else fresh
    sent = from_post(request.POST)
    entries = sent if count_of(sent) else fresh
    do = request.POST.get("do", "")
    if do == "add-idler":
        return with_idler(entries)
    if do.startswith("remove-") and do.removeprefix("remove-").isdecimal():
        return without(entries, int(do.removeprefix("remove-")[:3]))
    return entries


def _refused(
    form: DeckForm, entries: Entries, preferences: Preferences, faults: list[tuple[str, str]] | None = None
) -> bool:
    """Whether something is missing or wrong; then it is marked at its box."""
    told = missing(entries, preferences)
    if not told:
        try:
            frame_of(entries, preferences)
        except InputErrors as found:
            told = [(fault.field, plainly(fault, preferences.decimal_mark)) for fault in found.faults]
    if not told:
        told = [(fault["box"], fault["words"]) for fault in live(entries, preferences)["faults"]]
    named = {box for box, _ in told}
    told += [(box, words) for box, words in faults or [] if box not in named]
    form.refuse(list(dict.fromkeys(told)))
    return bool(form.errors)


def _shown(request: HttpRequest, context: dict[str, object], form: DeckForm) -> HttpResponse:
    unit = "in" if preferences_of(request).units == "inch" else "mm"
    status = 422 if form.is_bound and form.errors else 200
    return render(request, "bench/deck/draw.html", {**context, "unit": unit}, status=status)
