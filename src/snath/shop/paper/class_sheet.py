"""The class sheet: what is given and what is asked, and the answers only where they are asked for."""

from typing import Any

from snath.decisions.job.job import Job
from snath.decisions.job.result import Result
from snath.decisions.machine.parts import CRANKSHAFT, Coupling
from snath.decisions.window.limits import ENGINE
from snath.decisions.window.window import Bound
from snath.shop.paper.blocks import head
from snath.shop.paper.facts import SheetFacts
from snath.shop.paper.press import printed
from snath.shop.paper.stages import standing
from snath.shop.paper.voices import paper_voice
from snath.shop.pictures.figures import bare_rpm, length, limit, rpm, short
from snath.shop.pictures.train import shaft_rows
from snath.shop.pictures.voice import Voice
from snath.shop.pictures.window import window_picture
from snath.shop.pictures.window_text import window_text

ENGINE_SPEED = 1000 / 60  # at which the class reckons the train

Question = dict[str, Any]  # {"ask": str, "answer": [str]}


def class_sheet(
    job: Job,
    result: Result,
    *,
    facts: SheetFacts | None = None,
    answers: bool = False,
    paper: str = "a4",
    voice: Voice | None = None,
) -> bytes:
    """Questions on a job with room to write, as PDF; with `answers` the same sheet filled in.

    Without `answers` no answer is in the file at all, so that nobody finds it by selecting white text.
    """
    facts = facts or SheetFacts()
    voice = (voice or paper_voice()).about(job)
    questions = [
        *_ratios(job, voice),
        *_ceilings(result, voice),
        *_window(result, voice),
        *_reading(job, result, voice),
    ]
    if not answers:
        questions = [{**question, "answer": []} for question in questions]
    title = voice.say("class.answers-title" if answers else "class.title")
    picture = window_picture(result.window, voice, width=760) if answers else None
    data = {
        **head(job, result, facts, voice),
        "title": title,
        "answers": answers,
        "machine": job.machine.name,
        "given": [*_given(job, voice), *_limits(result, voice), *_instruments(job, voice)],
        "questions": questions,
        "picture_text": picture.text if picture else "",
    }
    pictures = {"window": picture.svg} if picture else {}
    return printed(
        "class_sheet.typ",
        data,
        voice=voice,
        paper=paper,
        made=facts.printed_on or job.judged_on,
        pictures=pictures,
    )


def _given(job: Job, voice: Voice) -> list[str]:
    said = [f"{job.machine.name}: {voice.term('machine-kind', job.machine.kind)}"]
    for member in job.machine.members:
        for size in member.sizes:
            name = ", ".join(filter(None, (voice.term("member", member.name), voice.said(size.name))))
            said.append(f"{name}: {length(voice, size.diameter.value)}")
    said += [_coupling(coupling, voice) for coupling in job.machine.couplings]
    return said


def _coupling(coupling: Coupling, voice: Voice) -> str:
    """Sheaves and teeth where they are known; the ratio itself only where nothing else is given."""
    kind, driver = voice.term("coupling", coupling.kind), voice.term("shaft", coupling.driver)
    about = f"{voice.term('shaft', coupling.driven)}: {voice.say('train.row-from', kind=kind, driver=driver)}"
    parts = [f"{voice.said(part.role)} {_size(part.role, part.size.value, voice)}" for part in coupling.parts]
    if not parts:
        parts = [
            f"{voice.said(ratio.name)} {short(voice, ratio.value.value, 4)}".strip()
            for ratio in coupling.alternatives
        ]
    return f"{about}; {'; '.join(parts)}"


def _size(role: str, size: float, voice: Voice) -> str:
    return length(voice, size) if "sheave" in role else short(voice, size, 1)


def _limits(result: Result, voice: Voice) -> list[str]:
    said = []
    for bound in _counted(result):
        key = "class.limit" if bound.side == "ceiling" else "class.limit-floor"
        figure = limit(voice, bound.limit, bound.kind, "down" if bound.side == "ceiling" else "up")
        said.append(
            voice.say(
                key,
                member=voice.term("member", bound.member),
                limit=figure,
                rule=voice.term("rule", bound.rule),
            )
        )
    return said


def _instruments(job: Job, voice: Voice) -> list[str]:
    return [
        voice.say(
            "class.measured-with",
            instrument=instrument.name,
            accuracy=voice.say(
                "calibration.accuracy-value",
                percent=short(voice, 100 * instrument.accuracy, 4),
                digits=rpm(voice, instrument.digits),
            ),
        )
        for instrument in job.instruments
    ]


def _counted(result: Result) -> list[Bound]:
    """The worst alternative of every limit, once."""
    seen = {(b.member, b.rule, b.side): b for b in result.window.bounds if b.worst}
    return list(seen.values())


def _ratios(job: Job, voice: Voice) -> list[Question]:
    asked = []
    for row in shaft_rows(job.machine, ENGINE_SPEED):
        if row.shaft == CRANKSHAFT or not row.members:
            continue
        ask = voice.say(
            "class.question-ratio", shaft=voice.term("shaft", row.shaft), speed=rpm(voice, ENGINE_SPEED)
        )
        ways = [
            f"{voice.said(name)}: {rpm(voice, speed.value)}" if name else rpm(voice, speed.value)
            for name, speed in row.speeds
        ]
        asked.append({"ask": ask, "answer": ways})
    return asked


def _ceilings(result: Result, voice: Voice) -> list[Question]:
    return [
        {
            "ask": voice.say("class.question-ceiling", member=voice.term("member", bound.member)),
            "answer": [voice.said(line) for line in bound.working],
        }
        for bound in _counted(result)
        if bound.side == "ceiling" and bound.member != ENGINE
    ]


def _window(result: Result, voice: Voice) -> list[Question]:
    window = result.window
    rule = voice.term("rule", window.binding_rule)
    binds = (
        voice.say("window.text-binds", member=voice.term("member", window.binding), rule=rule)
        if window.binding
        else ""
    )
    text = window_text(window, [], voice)
    return [
        {"ask": voice.say("class.question-binds"), "answer": [binds]},
        {"ask": voice.say("class.question-window"), "answer": [text]},
    ]


def _reading(job: Job, result: Result, voice: Voice) -> list[Question]:
    found = standing(job.as_found, result.as_found)
    if found is None or found.reading.value is None:
        return []
    reading, verdict = found.reading, found.verdict
    assert reading.value is not None
    repeats = reading.repeats or (reading.value.value,)
    ask = voice.say(
        "class.question-reading",
        shaft=voice.term("shaft", reading.shaft),
        condition=voice.condition(reading.condition),
        values="; ".join(bare_rpm(voice, value) for value in repeats),
    )
    answer = [
        voice.term("word", verdict.word),
        *(voice.said(line) for line in (*verdict.reasons, *verdict.settle)),
    ]
    return [{"ask": ask, "answer": answer}]
