"""The machine's tag: what to set, what never to pass, and a square that opens the record."""

from snath.decisions.job.job import Job, Result
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
    language: str = "en",
    voice: Voice | None = None,
) -> bytes:
    """Two tags on one page as PDF. Without `facts.opens` they carry no square that opens a record, and say why.

    A machine that was left as found, that does not pass or that a check blocks gets a tag that says so in place
    of a figure.
    """
    voice = (voice or paper_voice(language)).about(job.machine)
    window, stands = result.window, result.stands
    is_set = stands.left_set and window.target is not None
    not_set = "tag.not-proven" if stands.stage == "as left" else "tag.not-set"
    number = facts.number or job.id
    data = {
        **head(job, result, facts, voice),
        "title": f"{voice.say('tag.title')} · {number}",
        "machine": job.machine.name,
        "serial": job.machine.serial,
        "never": voice.say("job.not-known")
        if window.ceiling is None
        else bare_rpm(voice, window.ceiling, "down"),
        "target": bare_rpm(voice, window.target)
        if is_set and window.target is not None
        else voice.say(not_set),
        "set": is_set,
        "unit": voice.say("unit.rpm-axis"),
        "limited": voice.say("tag.limits", member=voice.term("member", window.binding))
        if window.binding
        else "",
        "stop": (outcome(job, voice) or voice.say("tag.do-not-use")) if stands.do_not_use else "",
        "why": [voice.said(fault) for fault in stands.blocked_by],
        "date": voice.say("tag.date", date=day(voice, job.judged_on)) if is_set else "",
        "by": voice.say("tag.by", who=facts.set_by) if facts.set_by and is_set else "",
        "scan": voice.say("tag.scan", number=number) if facts.opens else "",
    }
    pictures, told = tag_squares(data, facts, voice)
    data |= told
    return printed(
        "tag.typ", data, voice=voice, paper=paper, made=facts.printed_on or job.judged_on, pictures=pictures
    )
