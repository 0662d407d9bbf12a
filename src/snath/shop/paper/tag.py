"""The machine's tag: what to set, what never to pass, and a square that opens the record."""

from snath.decisions.job.history import speaks_for
from snath.decisions.job.job import Job
from snath.decisions.job.result import Result
from snath.shop.paper.blocks import head
from snath.shop.paper.facts import SheetFacts
from snath.shop.paper.job_sheet import outcome
from snath.shop.paper.press import printed
from snath.shop.paper.tag_squares import tag_squares
from snath.shop.paper.voices import day, paper_voice
from snath.shop.pictures.figures import bare_rpm
from snath.shop.pictures.voice import Voice


def machine_tag(
    job: Job,
    result: Result,
    *,
    facts: SheetFacts,
    paper: str = "a4",
    voice: Voice | None = None,
) -> bytes:
    """Two tags on one page as PDF. Without `facts.opens` they carry no square that opens a record, and say why.

    Only a machine that passed has its speed on it, and what to set it to where somebody gives a figure.
    """
    voice = (voice or paper_voice()).about(job)
    window, stands = result.window, result.stands
    was_set = not stands.left_as_found
    left = speaks_for((job.as_left if was_set else job.as_found).readings) if stands.left_set else None
    who = facts.set_by if was_set else facts.read_by
    number = facts.number or job.id
    data = {
        **head(job, result, facts, voice),
        "title": f"{voice.say('tag.title')} · {number}",
        "machine": job.machine.name,
        "serial": job.machine.serial,
        "never": voice.say("job.not-known")
        if window.ceiling is None
        else bare_rpm(voice, window.ceiling, "down"),
        "left_at": bare_rpm(voice, left.value.value) if left and left.value else "",
        "left_where": voice.condition(left.condition) if left else "",
        "target": bare_rpm(voice, window.target) if left and window.target is not None else "",
        "unit": voice.say("unit.rpm-axis"),
        "limited": voice.say("tag.limits", member=voice.term("member", window.binding))
        if window.binding
        else "",
        "not_covered": voice.say("job.not-covered", names=", ".join(window.uncovered))
        if window.uncovered
        else "",
        "stop": "" if left else _instead(job, result, voice),
        "why": _why(result, voice),
        "date": voice.say("tag.set-on" if was_set else "tag.read-on", date=day(voice, job.judged_on))
        if left
        else "",
        "by": voice.say("tag.by", who=who) if who and left else "",
        "scan": voice.say("tag.scan", number=number) if facts.opens else "",
    }
    pictures, told = tag_squares(data, facts, voice)
    data |= told
    return printed(
        "tag.typ", data, voice=voice, paper=paper, made=facts.printed_on or job.judged_on, pictures=pictures
    )


def _instead(job: Job, result: Result, voice: Voice) -> str:
    """What stands on it in place of a speed."""
    if result.stands.do_not_use:
        return outcome(job, voice) or voice.say("tag.do-not-use")
    return voice.say("tag.outside" if result.stands.outside_figure else "tag.not-proven")


def _why(result: Result, voice: Voice) -> list[str]:
    """The faults that block it, or that nobody checked it."""
    stands = result.stands
    if stands.by == "not checked":
        return [voice.say("checks.not-checked")]
    return [voice.said(fault) for fault in stands.blocked_by]
