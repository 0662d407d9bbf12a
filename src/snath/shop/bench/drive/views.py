"""Another drive for the machine of a job: where its belt runs, what stock allows, and one of them picked."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext, gettext_lazy

from snath.decisions.drive.agreement import design_speed
from snath.decisions.drive.choose import Choices
from snath.decisions.drive.confirm import RECHECK
from snath.decisions.drive.frame import Frame
from snath.quantities.errors import InputError, InputErrors
from snath.shop.bench import show
from snath.shop.bench.drafts import draft_of, fill
from snath.shop.bench.drive.choosing import Fitted, drives, fit, with_orders
from snath.shop.bench.drive.kept_route import frame_of, picked_of, route_of, with_route
from snath.shop.bench.drive.needed import needed_rows
from snath.shop.bench.drive.route_form import PairForm, RouteForm, belt_couplings, boxes_of
from snath.shop.bench.drive.shown import DriveRow, drive_row
from snath.shop.bench.drive.starting_route import starting_route
from snath.shop.bench.drive.stock_rows import Shelf, count_down, shelf
from snath.shop.bench.fields import fault_words
from snath.shop.bench.jobs.kept import OpenJob, newest
from snath.shop.bench.jobs.page import page
from snath.shop.bench.jobs.saving import save_change
from snath.shop.bench.jobs.start import shelve
from snath.shop.bench.preferences import Preferences, preferences_of
from snath.shop.bench.words import said

SHOWN = 5  # drives on the page at first: each brings its drawing
PIECES_MOST = 14
CHOSEN_BY = {
    "route": gettext_lazy("the speed stated with the belt's route"),
    "aim": gettext_lazy("the speed this job aims for"),
    "as left": gettext_lazy("the speed it was left at"),
    "as found": gettext_lazy("the speed it was found at"),
    "maker": gettext_lazy("the machine maker's figure"),
    "engine": gettext_lazy("the engine maker's highest speed"),
}
READ_ONLY = "accident machine: read only"


def another_drive(request: HttpRequest, number: int) -> HttpResponse:
    """The drives for a job; where its route is not known yet, the boxes for it."""
    job = newest(number)
    if request.method == "POST":
        return _route_sent(request, job)
    return _page(request, job)


def pick(request: HttpRequest, number: int) -> HttpResponse:
    """Put one drive into the job as its next version."""
    if request.method != "POST":
        return redirect("bench:job-drive", number)
    job = newest(number)
    if job.job.outcome == READ_ONLY:
        return _page(
            request,
            job,
            fault=gettext("An accident machine is only read, nothing on it is changed."),
            status=409,
        )
    stock = shelf().stock
    wanted = tuple(request.POST.getlist("piece")[:PIECES_MOST])
    base = request.POST.get("base", "")
    version = int(base) + 1 if base.isdecimal() and len(base) < 10 else 0
    sheet = job.record.machine.sheet if job.record.machine else ""
    try:
        fitted = fit(job.job, stock, wanted, version=version, sheet=sheet)
    except (InputError, InputErrors) as fault:
        return _page(request, job, fault=_words(fault, preferences_of(request)), status=422)
    return save_change(
        request,
        job,
        lambda _: fitted.job,
        note=gettext("another drive picked"),
        then="bench:job-drive",
        also=lambda: _fitted(job, fitted, wanted if request.POST.get("used") else ()),
    )


def _fitted(job: OpenJob, fitted: Fitted, used: tuple[str, ...]) -> None:
    """What goes with a drive that is put in: its pieces off the stock's count, its machine's sheet on the shelf."""
    count_down(used)
    if job.record.machine is not None and fitted.sheet:
        shelve(fitted.machine, fitted.sheet, customer=None, record=job.record.machine)


def _route_sent(request: HttpRequest, job: OpenJob) -> HttpResponse:
    """Keep the route with the job, from the boxes or as text."""
    preferences, number = preferences_of(request), job.record.number
    forms = _Forms(
        PairForm(
            request.POST if "shaft" in request.POST else None,
            preferences=preferences,
            machine=job.job.machine,
        ),
        RouteForm(request.POST if "shaft" not in request.POST else None, preferences=preferences),
    )
    text = forms.pair.route() if "shaft" in request.POST else forms.whole.text()
    if text is None:
        return _page(request, job, forms=forms, status=422)
    draft = draft_of(request, _key(number, "pair" if "shaft" in request.POST else "route"))
    if text == route_of(job.job):
        draft.drop()
        return redirect("bench:job-drive", number)
    return save_change(
        request,
        job,
        lambda now: with_route(now, text),
        note=gettext("route of the belt written down"),
        then="bench:job-drive",
        draft=draft,
    )


@dataclass(frozen=True, slots=True)
class _Forms:
    """Both ways of entering a route."""

    pair: PairForm
    whole: RouteForm


def _page(
    request: HttpRequest,
    job: OpenJob,
    *,
    forms: _Forms | None = None,
    fault: str = "",
    status: int = 200,
) -> HttpResponse:
    preferences, stock = preferences_of(request), shelf()
    context: dict[str, Any] = {"belts": belt_couplings(job.job.machine), "stock": stock, "refused": fault}
    context |= {"read_only": job.job.outcome == READ_ONLY, "nothing_sized": not any(stock.stock.items)}
    if context["belts"] and route_of(job.job):
        context |= _answer(request, job, stock, preferences)
    if context["belts"]:
        context |= _entry(request, job, forms, preferences)
    picked = picked_of(job.job)
    context |= {"picked": picked, "recheck": [said(step) for step in RECHECK]}
    return render(request, "bench/drive/drive.html", page(request, job, "window", **context), status=status)


def _answer(request: HttpRequest, job: OpenJob, stock: Shelf, preferences: Preferences) -> dict[str, Any]:
    """What can be built, or why this route does not fit the machine."""
    try:
        frame = frame_of(job.job)
        found = drives(job.job, frame, stock.stock)
        asked = design_speed(job.job, frame)
        ordered = None if found.drives else drives(job.job, frame, with_orders(stock.stock, frame))
    except (InputError, InputErrors) as fault:
        return {"unfit": _words(fault, preferences)}
    most = None if request.GET.get("all") == "1" else SHOWN
    told = found.misses
    if ordered is not None and ordered.drives:
        found = ordered  # the same question, answered from what is sold
    return {
        "frame": frame,
        "ordered": found is ordered,
        "needed": needed_rows(found.problem, preferences),
        "chosen_by": CHOSEN_BY[asked.by],
        "rows": _rows(job, frame, found, stock, preferences, most),
        "recheck_any": any(not drive.original for drive in found.drives),
        "more": len(found.drives) - SHOWN if most else 0,
        "speed": show.speed(found.problem.speed, preferences),
        "exhaustive": found.exhaustive,
        "to_order": [said(part) for part in found.to_order],
        "near": [said(miss.message, preferences) for miss in told if not miss.buy],
        "buy": [said(miss.message, preferences) for miss in told if miss.buy],
        "looked_at": found.looked_at,
    }


def _rows(
    job: OpenJob, frame: Frame, found: Choices, stock: Shelf, preferences: Preferences, most: int | None
) -> list[DriveRow]:
    number = job.record.number
    return [
        drive_row(found, drive, stock.stock, preferences, number=number, name=frame.name)
        for drive in found.drives[:most]
    ]


def _entry(
    request: HttpRequest, job: OpenJob, forms: _Forms | None, preferences: Preferences
) -> dict[str, Any]:
    """The forms with what was typed last, and where their drafts are kept."""
    number, machine = job.record.number, job.job.machine
    pair_draft, draft = draft_of(request, _key(number, "pair")), draft_of(request, _key(number, "route"))
    if forms is None:
        text = route_of(job.job) or starting_route(machine, preferences)
        forms = _Forms(
            PairForm(
                preferences=preferences,
                machine=machine,
                initial=boxes_of(route_of(job.job), preferences.decimal_mark),
            ),
            RouteForm(preferences=preferences, initial={"route": text}),
        )
        fill(forms.pair, pair_draft)
        fill(forms.whole, draft)
    return {
        "pair": forms.pair,
        "whole": forms.whole,
        "pair_draft": pair_draft,
        "draft": draft,
        "one_shaft": len(belt_couplings(machine)) == 1,
    }


def _key(number: int, what: str) -> str:
    return f"job:{number}:{what}"


def _words(fault: InputError | InputErrors, preferences: Preferences) -> str:
    return "; ".join(
        f"{said(one.field)}: {fault_words(one, preferences.decimal_mark)}" for one in fault.faults
    )
