"""What the machine allows: the three figures, the picture, what limits it, what would open it, and what if."""

from functools import cache

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from snath.shop.bench.jobs.kept import newest
from snath.shop.bench.jobs.limits import limit_rows, remedy_rows
from snath.shop.bench.jobs.page import page
from snath.shop.bench.jobs.verdict_views import readings_of
from snath.shop.bench.jobs.what_if import handles_of, looked_at, tried
from snath.shop.bench.jobs.withdraw_views import REASONS
from snath.shop.bench.pictured import PICTURE_WIDTH, voice_of
from snath.shop.bench.preferences import preferences_of
from snath.shop.bench.words import said
from snath.shop.pictures.train import train_picture
from snath.shop.pictures.window import window_picture


def job(request: HttpRequest, number: int) -> HttpResponse:
    """Where the job stands."""
    del request
    opened = newest(number)
    return redirect("bench:job-verdict" if opened.stands.word else "bench:job-window", number)


def window(request: HttpRequest, number: int) -> HttpResponse:
    """The allowed speed of the machine."""
    opened = newest(number)
    preferences = preferences_of(request)
    machine, found = opened.job.machine, opened.result.window
    voice, at = cache(lambda: voice_of(preferences).about(opened.job)), looked_at(found)
    context = page(
        request,
        opened,
        "window",
        picture=cache(lambda: window_picture(found, voice(), width=PICTURE_WIDTH)),
        limits=cache(lambda: limit_rows(opened, preferences)),
        remedies=cache(lambda: remedy_rows(found, preferences)),
        window_notes=cache(lambda: [said(note, preferences) for note in found.notes]),
        notes=cache(lambda: [said(note, preferences) for note in opened.result.notes]),
        handles=cache(lambda: handles_of(opened.job, found, preferences)),
        train=cache(
            lambda: (
                train_picture(machine, voice(), rev_s=at, width=PICTURE_WIDTH) if machine.couplings else None
            )
        ),
        readings=cache(lambda: () if opened.stands.word else readings_of(opened, preferences)),
        withdraw_reasons=REASONS,
    )
    return render(request, "bench/jobs/window.html", context)


def what_if(request: HttpRequest, number: int) -> HttpResponse:
    """The same machine with a size or a speed changed, worked out by the same core; nothing is kept."""
    opened = newest(number)
    preferences = preferences_of(request)
    voice = voice_of(preferences).about(opened.job)
    trial = tried(opened.job, request.GET)
    context = {
        "record": opened.record,
        "trial": trial,
        "handles": handles_of(trial.job, trial.result.window, preferences, request.GET),
        "figures": trial.figures(preferences),
        "moved": True,
        "picture": window_picture(trial.result.window, voice, width=PICTURE_WIDTH),
        "train": train_picture(trial.job.machine, voice, rev_s=trial.engine, width=PICTURE_WIDTH),
    }
    whole = request.headers.get("HX-Request") != "true"
    template = "bench/jobs/what_if.html" if whole else "bench/jobs/what_if_answer.html"
    return render(request, template, {**page(request, opened, "window"), **context})
