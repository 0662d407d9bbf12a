"""The customer's letter: what was found, set and means in plain words, and the four questions always asked."""

from collections.abc import Iterator
from typing import Any

from snath.decisions.job.job import Job
from snath.decisions.job.result import Result
from snath.decisions.machine.parts import CRANKSHAFT, Member
from snath.decisions.verdict.verdict import MemberVerdict
from snath.shop.paper.blocks import cautions, head
from snath.shop.paper.facts import SheetFacts
from snath.shop.paper.letter_running import running_words, thrown_words
from snath.shop.paper.press import printed
from snath.shop.paper.stages import Standing, found_and_left, plus_minus
from snath.shop.paper.thrown_block import thrown_picture
from snath.shop.paper.voices import day, paper_voice
from snath.shop.pictures.figures import length, limit, rpm
from snath.shop.pictures.voice import Voice

LEFT_ALONE = {
    "customer declined": "letter.set-declined",
    "not adjustable here": "letter.set-not-adjustable",
    "accident machine: read only": "letter.set-accident",
}


def customer_letter(
    job: Job,
    result: Result,
    *,
    facts: SheetFacts,
    paper: str = "a4",
    voice: Voice | None = None,
) -> bytes:
    """The letter as PDF; every figure in it stands on the job sheet too."""
    voice = (voice or paper_voice()).about(job)
    throw = result.behaviour.throw
    drawn = thrown_picture(throw, voice) if throw else None
    data = letter_words(job, result, facts=facts, voice=voice)
    data["thrown_text"] = drawn.text if drawn else ""
    pictures = {"thrown": drawn.svg} if drawn else {}
    return printed(
        "letter.typ",
        data,
        voice=voice,
        paper=paper,
        made=facts.printed_on or job.judged_on,
        pictures=pictures,
    )


def letter_words(job: Job, result: Result, *, facts: SheetFacts, voice: Voice) -> dict[str, Any]:
    """What the letter says, part by part; paper, page and message say the same."""
    voice = voice.about(job)
    found, left = found_and_left(job, result)
    number = facts.number or job.id
    throw = result.behaviour.throw
    return {
        **head(job, result, facts, voice),
        "title": f"{voice.say('letter.title')} · {number}",
        "dear": voice.say("letter.dear", customer=facts.customer)
        if facts.customer
        else voice.say("letter.dear-nobody"),
        "about": voice.say(
            "letter.job", number=number, machine=job.machine.name, date=day(voice, job.judged_on)
        ),
        "found": list(_found(found, result, voice)),
        "set": list(_set(job, result, left, voice)),
        "means": list(_means(job, result, voice)),
        "running": list(running_words(result, voice)),
        "thrown": list(thrown_words(throw, voice)) if throw else [],
        "questions": [
            [voice.say("letter.slower"), list(_slower(found, left, result, voice))],
            [voice.say("letter.faster"), list(_faster(result, voice))],
            [voice.say("letter.longer"), list(_longer(job, voice))],
            [voice.say("letter.warranty"), [voice.say("letter.warranty-answer")]],
        ],
        "cautions": cautions(voice),
        "signed_by": facts.set_by or facts.read_by,
    }


def _found(found: Standing | None, result: Result, voice: Voice) -> Iterator[str]:
    if found is None or found.reading.value is None:
        yield voice.say("letter.found-nothing")
        return
    speed = plus_minus(voice, found.reading)
    condition = voice.condition(found.reading.condition)
    if found.reading.shaft == CRANKSHAFT:
        yield voice.say("letter.found-speed", speed=speed, condition=condition)
    else:
        shaft = voice.term("shaft", found.reading.shaft)
        yield voice.say("letter.found-shaft", shaft=shaft, speed=speed, condition=condition)
    tip = _fastest(found, result)
    if tip is not None and tip.reached is not None:
        yield voice.say(
            "letter.found-tip",
            member=voice.term("member", tip.member),
            speed=limit(voice, tip.reached, tip.kind),
            limit=limit(voice, tip.limit, tip.kind, "down"),
        )
    yield from _judged(found, voice)


def _judged(found: Standing, voice: Voice) -> Iterator[str]:
    """Which part was beyond its limit, and whether the maker's figure was met."""
    verdict = found.verdict
    for member in dict.fromkeys((m.member, m.side) for m in verdict.members if m.word == "fail"):
        key = "letter.found-over" if member[1] == "ceiling" else "letter.found-under"
        yield voice.say(key, member=voice.term("member", member[0]))
    if verdict.maker == "out":
        yield voice.say("letter.found-out")
    if verdict.word == "pass":
        yield voice.say("letter.found-pass")
    elif verdict.limits == "undecided" or verdict.maker == "undecided":
        yield voice.say("letter.found-undecided")


def _fastest(found: Standing, result: Result) -> MemberVerdict | None:
    """The blade nearest to or farthest over its own limit: the one that binds where it is a blade."""
    tips = [m for m in found.verdict.members if m.kind == "surface speed" and m.side == "ceiling"]
    binding = [m for m in tips if m.member == result.window.binding]
    return max(binding or tips, key=lambda m: (m.reached or 0.0) / m.limit, default=None)


def _set(job: Job, result: Result, left: Standing | None, voice: Voice) -> Iterator[str]:
    if job.outcome in LEFT_ALONE:
        yield voice.say(LEFT_ALONE[job.outcome])
        return
    if result.stands.word == "blocked":
        yield voice.say("letter.set-blocked")
        return
    if left is not None and result.window.target is not None:
        yield voice.say("letter.set-target", target=rpm(voice, result.window.target))
    if left is None or left.reading.value is None:
        yield voice.say("letter.set-stop" if result.window.setting == "stop" else "letter.set-nothing")
        return
    speed = plus_minus(voice, left.reading)
    yield voice.say("letter.set-speed", speed=speed)


def _means(job: Job, result: Result, voice: Voice) -> Iterator[str]:
    window = result.window
    if not window.feasible and window.ceiling is not None:
        yield voice.say("letter.means-shut")
    elif window.ceiling is not None:
        yield voice.say(
            "letter.means-ceiling",
            speed=rpm(voice, window.ceiling, "down"),
            member=voice.term("member", window.binding),
        )
    figure = job.machine.engine.maker_no_load
    if figure is not None:
        yield voice.say("letter.means-maker", speed=rpm(voice, figure.rev_s))
    yield from _stands(result, voice)


def _stands(result: Result, voice: Voice) -> Iterator[str]:
    """The job's one word as a sentence; nothing where nothing was read."""
    stands = result.stands
    if stands.word == "blocked":
        checks = "; ".join(voice.said(fault) for fault in stands.blocked_by)
        yield voice.say("letter.means-blocked", checks=checks)
    elif stands.by == "stop":
        yield voice.say("letter.means-stop" if stands.do_not_use else "letter.means-stop-open")
    elif stands.word == "fail" and not stands.do_not_use:
        yield voice.say("letter.means-outside" if stands.outside_figure else "letter.means-missed")
    elif stands.word:
        key = "not-checked" if stands.by == "not checked" else stands.word
        yield voice.say(f"letter.means-{key}")


def _slower(found: Standing | None, left: Standing | None, result: Result, voice: Voice) -> Iterator[str]:
    if not (found and left and found.reading.value and left.reading.value):
        yield voice.say("letter.slower-unknown")
        return
    before, after = found.reading, left.reading
    assert before.value is not None
    assert after.value is not None
    if (before.shaft, before.condition) != (after.shaft, after.condition):
        yield voice.say("letter.slower-unknown")
        return
    speeds = {"found": rpm(voice, before.value.value), "left": rpm(voice, after.value.value)}
    over = [m for m in found.verdict.members if m.word == "fail" and m.side == "ceiling"]
    if result.stands.word == "blocked":
        yield voice.say("letter.slower-open", **speeds)
    elif after.value.value >= before.value.value:
        yield voice.say("letter.slower-same", **speeds)
    elif any(m.kind == "surface speed" for m in over):
        yield voice.say("letter.slower-tip", **speeds)
    elif over:
        yield voice.say("letter.slower-part", member=voice.term("member", over[0].member), **speeds)
    elif left.verdict.word != "pass":
        yield voice.say("letter.slower-open", **speeds)
    else:
        yield voice.say(
            "letter.slower-wanted" if left.verdict.maker == "in" else "letter.slower-down", **speeds
        )


def _faster(result: Result, voice: Voice) -> Iterator[str]:
    window = result.window
    if window.ceiling is None:
        yield voice.say("letter.faster-unknown")
        return
    yield voice.say("letter.faster-no", ceiling=rpm(voice, window.ceiling, "down"))
    if window.target is not None and result.stands.left_set:
        yield voice.say("letter.faster-target", target=rpm(voice, window.target))


def _longer(job: Job, voice: Voice) -> Iterator[str]:
    blades = [member for member in job.machine.members if member.kind == "blade" and member.sizes]
    if blades:
        sizes = "; ".join(
            voice.say(
                "letter.longer-each",
                member=voice.term("member", blade.name),
                size=length(voice, _largest(blade)),
            )
            for blade in blades
        )
        yield voice.say("letter.longer-size", sizes=sizes)
        yield voice.say("letter.longer-sooner")
    yield voice.say("letter.longer-lift")


def _largest(blade: Member) -> float:
    return max(size.diameter.value for size in blade.sizes)
