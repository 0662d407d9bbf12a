"""The readings and verdicts of a job as rows of text for a sheet; nothing is worked out here."""

from dataclasses import dataclass
from typing import Any

from snath.decisions.job.history import Told, histories, speaks_for
from snath.decisions.job.job import Job, Stage
from snath.decisions.job.result import Result
from snath.decisions.job.stage import StageResult
from snath.decisions.machine.parts import CRANKSHAFT
from snath.decisions.reading.budget import beside_reading
from snath.decisions.reading.reading import Reading
from snath.decisions.verdict.verdict import MemberVerdict, Verdict
from snath.decisions.window.fold import alike, names, verdict_key
from snath.shop.answers.chances import chances
from snath.shop.paper.voices import moment
from snath.shop.pictures.figures import bare_rpm, limit, rpm, spread_rpm
from snath.shop.pictures.voice import Voice

STAGES = ("as_found", "as_left")
WORD_KEY = {"as_found": "job.as-found", "as_left": "job.as-left"}


@dataclass(frozen=True, slots=True)
class Standing:
    """The verdict that stands for a stage, and the reading that speaks for it."""

    reading: Reading
    verdict: Verdict


def standing(stage: Stage, result: StageResult) -> Standing | None:
    """The pair that speaks for a stage; None where nothing was read."""
    if result.stands is None:
        return None
    reading = speaks_for(stage.readings)
    return None if reading is None else Standing(reading, result.stands)


def found_and_left(job: Job, result: Result) -> tuple[Standing | None, Standing | None]:
    """What stands for the machine as found and as left."""
    return standing(job.as_found, result.as_found), standing(job.as_left, result.as_left)


def speed_words(voice: Voice, reading: Reading) -> tuple[str, str]:
    """The reading and twice its standard uncertainty, as figures; empty where there is none."""
    if reading.value is None:
        return "", ""
    spread = spread_rpm(voice, reading.doubt) if reading.doubt else ""
    return bare_rpm(voice, reading.value.value), spread


def reading_rows(job: Job, result: Result, voice: Voice) -> list[dict[str, Any]]:
    """Every reading of both stages, each with its setting and its budget; a withdrawn one is struck through."""
    names = {instrument.id: instrument.name for instrument in job.instruments}
    rows = []
    for stage, told in histories(job, result).items():
        several = len({one.setting for one in told if one.setting}) > 1
        for one in told:
            reading = one.reading
            value, spread = speed_words(voice, reading)
            method = voice.term("method", reading.method)
            instrument = names.get(reading.instrument, reading.instrument)
            rows.append(
                {
                    "stage": _stage_words(stage, one, voice, several=several),
                    "struck": not one.setting,
                    "shaft": voice.term("shaft", reading.shaft),
                    "condition": voice.condition(reading.condition),
                    "with": f"{instrument}, {method}" if instrument else method,
                    "value": value or voice.say("job.no-figure"),
                    "spread": spread or voice.say("job.no-figure"),
                    "when": moment(voice, reading.at),
                    "remarks": [*_remarks(reading, voice), *filter(None, [_budget(reading, voice)])],
                }
            )
    return rows


def history_lines(job: Job, result: Result, voice: Voice) -> list[str]:
    """How many settings and readings each stage had, and how many of these were withdrawn."""
    lines = []
    for stage, told in histories(job, result).items():
        if told:
            gone = sum(one.setting == 0 for one in told)
            key = "reading.counted-withdrawn" if gone else "reading.counted"
            settings = max(one.setting for one in told)
            stage_word = voice.say(f"job.{stage.replace(' ', '-')}")
            lines.append(
                voice.say(key, stage=stage_word, settings=settings, readings=len(told), withdrawn=gone)
            )
    return lines


def _stage_words(stage: str, one: Told, voice: Voice, *, several: bool) -> str:
    name = voice.say(f"job.{stage.replace(' ', '-')}")
    if several and one.setting:
        key = "reading.setting-stands" if one.stands else "reading.setting-history"
        return voice.say(key, stage=name, number=one.setting)
    return name


def _remarks(reading: Reading, voice: Voice) -> list[str]:
    said = []
    if reading.withdrawn is not None:
        gone = reading.withdrawn
        said.append(voice.say("reading.withdrawn", reason=voice.said(gone.reason), who=gone.by))
    if reading.turned:
        said.append(voice.say("reading.turned", what=reading.turned))
    if reading.value is None:
        said.append(voice.say("reading.open", why=voice.said(reading.why)))
    if len(reading.repeats) > 1:
        values = "; ".join(bare_rpm(voice, value) for value in reading.repeats)
        said.append(voice.say("reading.repeats", values=values))
    if reading.hunting:
        said.append(voice.say("reading.swing", spread=spread_rpm(voice, reading.hunting)))
    if not reading.confirmed:
        said.append(voice.say("reading.indication"))
        if reading.why and reading.value is not None:
            said.append(voice.said(reading.why))
    if reading.evidence:
        said.append(f"SHA-256 {reading.evidence}")
    return said


def _budget(reading: Reading, voice: Voice) -> str:
    if reading.value is None or not reading.value.lines:
        return ""
    lines = sorted(reading.value.lines, key=lambda line: -abs(line.u))
    said = "; ".join(
        f"{voice.said(beside_reading(line.source))} {spread_rpm(voice, line.u)}" for line in lines
    )
    return voice.say("reading.budget", lines=said)


def verdict_block(stage: str, job: Job, result: Result, voice: Voice) -> dict[str, Any]:
    """The verdict of one stage, with why and what would settle it; as found, only while it was not left yet."""
    found = standing(getattr(job, stage), getattr(result, stage))
    name = voice.say(WORD_KEY[stage])
    if found is None and result.stands.left_as_found:
        return {"stage": name, "key": "", "word": voice.say("job.as-it-was-found"), "lines": [], "settle": []}
    if found is None:
        said = voice.say("job.verdict-nothing")
        return {"stage": name, "key": "", "word": voice.say("job.not-read"), "lines": [said], "settle": []}
    verdict = found.verdict
    past = stage == "as_found" and result.stands.stage == "as left"
    lines = "; ".join((voice.term("limits", verdict.limits), voice.term("maker", verdict.maker)))
    return {
        "stage": name,
        "key": verdict.word,
        "word": voice.term("word", verdict.word),
        "lines": [f"{lines[0].upper()}{lines[1:]}.", *(voice.said(reason) for reason in verdict.reasons)],
        "settle": [] if past else [voice.said(step) for step in verdict.settle],
    }


def member_rows(job: Job, result: Result, voice: Voice) -> list[list[str]]:
    """Every limit with the speed and the chance of being beyond it, as found and as left; equal rows as one."""
    found, left = found_and_left(job, result)
    sides = [{_key(m): m for m in one.verdict.members} if one else {} for one in (found, left)]
    keys = dict.fromkeys([*sides[0], *sides[1]])
    pairs = [tuple(side.get(key) for side in sides) for key in keys]
    rows = []
    for group in alike(pairs, lambda pair: tuple(one and verdict_key(one) for one in pair)):
        firsts = [next(one for one in pair if one) for pair in group]
        row = [
            _loaded(names(firsts, lambda m: voice.term("member", m.member)), firsts[0], voice),
            names(firsts, lambda m: voice.term("rule", m.rule)),
            _limit(firsts[0], voice),
        ]
        for one, stage in zip(group[0], (found, left), strict=True):
            if one is None or (one.under_load and stage is not None and stage.verdict.work == "open"):
                row += [voice.say("job.no-figure")] * 2
            else:
                row += [_reached(one, voice), voice.said(chances(one.p_least, one.p_most))]
        rows.append(row)
    return rows


def _reached(member: MemberVerdict, voice: Voice) -> str:
    if member.reached is None:
        return rpm(voice, member.speed)
    return limit(voice, member.reached, member.kind)


def _key(member: MemberVerdict) -> tuple[str, str, str, float, bool]:
    return member.member, member.rule, member.side, member.limit, member.under_load


def _loaded(name: str, member: MemberVerdict, voice: Voice) -> str:
    return voice.say("beyond.under-load", member=name) if member.under_load else name


def _limit(member: MemberVerdict, voice: Voice) -> str:
    if member.side == "floor":
        return voice.say("beyond.at-least", limit=limit(voice, member.limit, member.kind, "up"))
    return voice.say("beyond.at-most", limit=limit(voice, member.limit, member.kind, "down"))


def have(found: Standing | None, voice: Voice) -> tuple[str, str]:
    """The big figure and its doubt, with the shaft it was read at."""
    if found is None or found.reading.value is None:
        return voice.say("job.not-read"), ""
    value, spread = speed_words(voice, found.reading)
    shaft = voice.term("shaft", found.reading.shaft)
    place = "" if found.reading.shaft == CRANKSHAFT else f" · {shaft}"
    return value, f"± {spread}{place}" if spread else place.removeprefix(" · ")


def plus_minus(voice: Voice, reading: Reading) -> str:
    """Speed and doubt with their unit, for a sentence; the speed alone where the reading brings no doubt of its own."""
    assert reading.value is not None
    speed, spread = rpm(voice, reading.value.value), speed_words(voice, reading)[1]
    if not spread:
        return speed
    return voice.say("reading.give-or-take", speed=speed, spread=voice.say("unit.rpm", value=spread))
