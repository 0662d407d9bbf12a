"""The stop test as rows of text, for a sheet and for a page: its word, the evidence, each limit by itself."""

import math
from dataclasses import dataclass
from typing import Any

from snath.decisions.behaviour.asked import StopInput
from snath.decisions.behaviour.stop import StopResult
from snath.decisions.behaviour.stop_evidence import StopEvidence
from snath.decisions.job.job import Job
from snath.decisions.job.result import Result
from snath.shop.pictures.figures import digits
from snath.shop.pictures.picture import Picture
from snath.shop.pictures.track import track_picture
from snath.shop.pictures.voice import Voice

TRACK_WIDTH, TRACK_HEIGHT = 760, 200


@dataclass(frozen=True, slots=True)
class StopBlock:
    """What a stop test settled, ready to be placed.

    Attributes
    ----------
    word, said : str
        "pass", "fail" or "undecided", and its word in the reader's language.
    facts : list of (label, value)
    limits : list of rows
        Which limit, how known, word by it alone, why.
    reasons, settle, cautions : list of str
    picture : Picture
    """

    word: str
    said: str
    facts: list[list[str]]
    limits: list[list[str]]
    reasons: list[str]
    settle: list[str]
    cautions: list[str]
    picture: Picture


def stop_block(job: Job, result: Result, voice: Voice, *, width: float = TRACK_WIDTH) -> StopBlock | None:
    """The stop test of a job; None where none was made."""
    given, found = job.behaviour.stop, result.behaviour.stop
    if given is None or found is None:
        return None
    return StopBlock(
        word=found.word,
        said=voice.term("word", found.word),
        facts=_facts(given, found, voice),
        limits=_limits(found, voice),
        reasons=[voice.said(reason) for reason in found.reasons if reason.code != "stop.by-limit"],
        settle=[voice.said(step) for step in found.settle],
        cautions=[voice.said(caution) for caution in found.cautions],
        picture=track_picture(given.track, voice, width=width, height=TRACK_HEIGHT),
    )


def _facts(given: StopInput, found: StopResult, voice: Voice) -> list[list[str]]:
    rows = [
        ("device", voice.term("device", given.device)),
        ("shaft", voice.term("shaft", given.track.shaft)),
    ]
    if found.evidence is not None:
        rows += [
            ("time", time_words(found.evidence, voice)),
            ("how", voice.term("stop-how", found.evidence.how)),
        ]
        released = "marked" if found.evidence.released else "not-marked"
        rows.append(("release", voice.say(f"stop-test.{released}")))
    return [[voice.say(f"stop-test.{key}"), value] for key, value in rows]


def time_words(evidence: StopEvidence, voice: Voice) -> str:
    """Stopping time with its 95 % interval, or how long it certainly turned."""
    if evidence.value is None:
        return voice.say("stop-test.still", seconds=digits(voice, evidence.still_turning, 2))
    low = digits(voice, evidence.earliest, 2, "down")
    if math.isinf(evidence.latest):
        return voice.say("stop-test.from", value=digits(voice, evidence.value, 2), low=low)
    return voice.say(
        "stop-test.between",
        value=digits(voice, evidence.value, 2),
        low=low,
        high=digits(voice, evidence.latest, 2, "up"),
    )


def _limits(found: StopResult, voice: Voice) -> list[list[str]]:
    rows = []
    for limit in found.limits:
        basis = "" if limit.basis in voice.titles else voice.term("stop-basis", limit.basis)
        source = ", ".join(
            part for part in (basis, voice.said(limit.printed), voice.said(limit.source)) if part
        )
        rows.append(
            [
                source,
                voice.term("standing", limit.standing),
                voice.term("word", limit.word),
                voice.said(limit.why),
            ]
        )
    return rows


def placed(block: StopBlock) -> dict[str, Any]:
    """The block as data for a sheet; the picture goes apart, as "stop"."""
    return {
        "key": block.word,
        "word": block.said,
        "facts": block.facts,
        "limits": block.limits,
        "reasons": block.reasons,
        "settle": block.settle,
        "cautions": block.cautions,
        "picture_text": block.picture.text,
    }
