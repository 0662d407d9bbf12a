"""The verdict: one word, why, and what would settle it."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from snath.decisions.job.job import StageResult
from snath.decisions.verdict.verdict import MemberVerdict, Verdict
from snath.shop.bench import show
from snath.shop.bench.jobs.does import does
from snath.shop.bench.jobs.kept import OpenJob, newest
from snath.shop.bench.jobs.limits import in_a_table, limit_rows, remedy_rows
from snath.shop.bench.jobs.page import last_reading, page, where_read
from snath.shop.bench.liking import Liking, liking_of
from snath.shop.bench.pictured import PICTURE_WIDTH, voice_of
from snath.shop.bench.words import percent, said
from snath.shop.pictures.budget import budget_picture
from snath.shop.pictures.window import window_picture


def verdict_page(request: HttpRequest, number: int) -> HttpResponse:
    """The job's word and why, with the reading in the picture where one was taken."""
    job = newest(number)
    stands, verdict = job.stands, job.verdict
    if not stands.word:
        raise Http404
    liking = liking_of(request)
    voice = voice_of(liking).about(job.job.machine)
    reading = last_reading(job.job)
    window = job.result.window
    context = page(
        request,
        job,
        "verdict",
        stands=stands,
        verdict=verdict,
        verdict_rule=said(verdict.decision_rule) if verdict else "",
        picture=window_picture(window, voice, reading=reading, verdict=verdict, width=PICTURE_WIDTH),
        budget=budget_picture(reading, voice, width=PICTURE_WIDTH) if reading and reading.value else None,
        reasons=[said(reason, liking.decimal_mark) for reason in stands.reasons],
        settle=[said(step, liking.decimal_mark) for step in stands.settle],
        p_over=_chances(verdict, liking) if verdict else None,
        members=[_member(member, liking) for member in verdict.members] if verdict else [],
        limits=[row for row in limit_rows(job, liking) if row.binds],
        remedies=remedy_rows(window, liking),
        readings=readings_of(job, liking),
        does=does(job, liking),
    )
    return render(request, "bench/jobs/verdict.html", context)


def _chances(verdict: Verdict, liking: Liking) -> tuple[str, str] | None:
    if verdict.p_over is None:
        return None
    least, most = verdict.p_over
    return percent(least, liking), percent(most, liking)


def _member(member: MemberVerdict, liking: Liking) -> dict[str, object]:
    """One line of the table of members."""
    ceiling = member.side == "ceiling"
    kind = "shaft speed" if member.reached is None else member.kind
    return {
        "member": said(member.member),
        "word": member.word,
        "reached": in_a_table(member.speed if member.reached is None else member.reached, kind, liking),
        "limit": in_a_table(member.limit, member.kind, liking, "down" if ceiling else "up"),
        "ceiling": ceiling,
        "chance": percent(member.p_most, liking),
    }


def readings_of(job: OpenJob, liking: Liking) -> list[dict[str, object]]:
    """Every reading with the word it got, oldest first."""
    stages: tuple[tuple[str, StageResult], ...] = (
        ("as found", job.result.as_found),
        ("as left", job.result.as_left),
    )
    taken = {"as found": job.job.as_found.readings, "as left": job.job.as_left.readings}
    return [
        {
            "stage": stage,
            "speed": show.speed(reading.value.value, liking) if reading.value else None,
            "doubt": show.speed(2 * reading.value.u, liking, round="up") if reading.value else None,
            "where": where_read(job.job.machine, reading),
            "method": said(reading.method),
            "at": reading.at[:16].replace("T", " "),
            "word": verdict.word,
            "why": said(reading.why, liking.decimal_mark),
        }
        for stage, result in stages
        for reading, verdict in zip(taken[stage], result.verdicts, strict=True)
    ]
