"""List what was looked at of what this machine does, and what is still to be looked at."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext

from snath.decisions.machine.condition_words import bladed
from snath.shop.bench.jobs.kept import OpenJob, newest
from snath.shop.bench.jobs.page import page
from snath.shop.bench.pictured import voice_of
from snath.shop.bench.preferences import preferences_of
from snath.shop.pictures.voice import Voice


@dataclass(frozen=True, slots=True)
class Row:
    """One part: where it is, its name, its state in a few words, and the look of that state."""

    url: str
    name: str
    state: str
    look: str = ""


def overview(request: HttpRequest, number: int) -> HttpResponse:
    """The list, in the order of the work."""
    job = newest(number)
    rows = list(_rows(job, voice_of(preferences_of(request))))
    return render(request, "bench/running/overview.html", page(request, job, "", parts=rows))


def _rows(job: OpenJob, voice: Voice) -> Iterator[Row]:
    found, no = job.result.behaviour, gettext("not looked at yet")

    def row(key: str, name: str, state: str, look: str = "") -> Row:
        return Row(reverse(f"bench:job-{key}", args=[job.record.number]), name, state, look)

    checks = found.checklist
    if checks is None:
        yield row("checks", gettext("Check list"), no, "undecided")
    elif checks.blocking:
        yield row("checks", gettext("Check list"), gettext("blocked"), "blocked")
    else:
        walked = gettext("done before setting") if checks.may_set else gettext("open")
        yield row("checks", gettext("Check list"), walked, "pass" if checks.may_set else "undecided")
    governor = found.governor_left or found.governor_found
    hunts = None if governor is None else governor.hunts
    state = no if governor is None else gettext("it hunts") if hunts else gettext("looked at")
    yield row("governor", gettext("Governor"), state, "fail" if hunts else "")
    advice = no if found.setting is None else voice.term("advice", found.setting.advice)
    yield row("setting", gettext("Setting help"), advice)
    yield from _with_blades(job, voice, row)


def _with_blades(job: OpenJob, voice: Voice, row: Callable[..., Row]) -> Iterator[Row]:
    """What only blades do, where the machine has any or it was looked at all the same."""
    found, no, blades = job.result.behaviour, gettext("not looked at yet"), bladed(job.job.machine)
    stop = no if found.stop is None else voice.term("word", found.stop.word)
    if blades or found.stop is not None:
        yield row("stop", gettext("Stop test"), stop, found.stop.word if found.stop else "")
    for key, name, looked in (
        ("throw", gettext("What it can throw"), found.throw),
        ("balance", gettext("Balance"), found.balance),
    ):
        if blades or looked is not None:
            yield row(key, name, no if looked is None else gettext("looked at"))
