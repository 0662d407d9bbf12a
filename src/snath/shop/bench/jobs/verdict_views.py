"""The verdict: one word, why, and what would settle it."""

from functools import cache

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext

from snath.decisions.job.history import histories
from snath.decisions.verdict.verdict import MemberVerdict, Verdict
from snath.decisions.window.fold import folded_verdicts, names
from snath.shop.bench import show
from snath.shop.bench.jobs.does import does
from snath.shop.bench.jobs.kept import OpenJob, newest
from snath.shop.bench.jobs.limits import in_a_table, limit_rows, remedy_rows
from snath.shop.bench.jobs.page import last_reading, page, where_read
from snath.shop.bench.jobs.withdraw_views import REASONS
from snath.shop.bench.pictured import PICTURE_WIDTH, voice_of
from snath.shop.bench.preferences import Preferences, preferences_of
from snath.shop.bench.words import percent, said
from snath.shop.pictures.budget import budget_picture
from snath.shop.pictures.window import window_picture


def verdict_page(request: HttpRequest, number: int) -> HttpResponse:
    """The job's word and why, with the reading in the picture where one was taken."""
    job = newest(number)
    stands, verdict = job.stands, job.verdict
    if not stands.word:
        raise Http404
    preferences = preferences_of(request)
    voice = cache(lambda: voice_of(preferences).about(job.job))
    reading = last_reading(job.job)
    window = job.result.window
    context = page(
        request,
        job,
        "verdict",
        stands=stands,
        verdict=verdict,
        verdict_rule=cache(lambda: said(verdict.decision_rule) if verdict else ""),
        picture=cache(
            lambda: window_picture(window, voice(), reading=reading, verdict=verdict, width=PICTURE_WIDTH)
        ),
        budget=cache(
            lambda: (
                budget_picture(reading, voice(), width=PICTURE_WIDTH) if reading and reading.value else None
            )
        ),
        reasons=cache(lambda: [said(reason, preferences) for reason in stands.reasons]),
        settle=cache(lambda: [said(step, preferences) for step in stands.settle]),
        p_over=cache(lambda: _chances(verdict, preferences) if verdict else None),
        members=cache(
            lambda: (
                [_member(row, verdict, preferences) for row in folded_verdicts(verdict.members)]
                if verdict
                else []
            )
        ),
        limits=cache(lambda: [row for row in limit_rows(job, preferences) if row.binds]),
        remedies=cache(lambda: remedy_rows(window, preferences)),
        readings=lambda: job.kept("readings", preferences, lambda: readings_of(job, preferences)),
        withdraw_reasons=REASONS,
        does=cache(lambda: does(job, preferences)),
    )
    return render(request, "bench/jobs/verdict.html", context)


def _chances(verdict: Verdict, preferences: Preferences) -> tuple[str, str] | None:
    if verdict.p_over is None:
        return None
    least, most = verdict.p_over
    return percent(least, preferences), percent(most, preferences)


def _member(row: tuple[MemberVerdict, ...], verdict: Verdict, preferences: Preferences) -> dict[str, object]:
    """One line of the table of members: those that are judged alike."""
    member = row[0]
    ceiling = member.side == "ceiling"
    kind = "shaft speed" if member.reached is None else member.kind
    named = names(row, lambda one: said(one.member))
    unread = member.under_load and verdict.work == "open"
    return {
        "member": gettext("%(part)s, under load") % {"part": named} if member.under_load else named,
        "word": member.word,
        "reached": "–"
        if unread
        else in_a_table(member.speed if member.reached is None else member.reached, kind, preferences),
        "limit": in_a_table(member.limit, member.kind, preferences, "down" if ceiling else "up"),
        "ceiling": ceiling,
        "chance": "–" if unread else percent(member.p_most, preferences),
    }


def readings_of(job: OpenJob, preferences: Preferences) -> list[dict[str, object]]:
    """Every reading with its setting and the word it got alone, oldest first; withdrawn ones with why."""
    return [
        {
            "stage": stage,
            "place": place,
            "setting": told.setting,
            "earlier": told.setting > 0 and not told.stands,
            "turned": told.reading.turned,
            "withdrawn": told.reading.withdrawn,
            "speed": show.speed(told.reading.value.value, preferences) if told.reading.value else None,
            "doubt": show.spread(told.reading.doubt, preferences),
            "where": where_read(job.job.machine, told.reading),
            "method": said(told.reading.method),
            "at": told.reading.at[:16].replace("T", " "),
            "word": told.verdict.word,
            "why": said(told.reading.why, preferences),
        }
        for stage, history in histories(job.job, job.result).items()
        for place, told in enumerate(history)
    ]
