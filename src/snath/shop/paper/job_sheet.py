"""The job sheet: everything a customer, an inspector or an insurer may ask about one job, on paper."""

from typing import Any

from snath.decisions.job.job import Job
from snath.decisions.job.result import Result
from snath.decisions.machine.parts import Machine
from snath.decisions.reading.reading import Reading
from snath.quantities.message import Message
from snath.shop.paper.blocks import arithmetic, cautions, head, remedies, rules_used, stands_block
from snath.shop.paper.facts import SheetFacts
from snath.shop.paper.press import printed
from snath.shop.paper.running import running
from snath.shop.paper.stages import (
    STAGES,
    Standing,
    found_and_left,
    have,
    history_lines,
    member_rows,
    reading_rows,
    verdict_block,
)
from snath.shop.paper.voices import day, pairs, paper_voice
from snath.shop.pictures.figures import bare_rpm, length, rpm
from snath.shop.pictures.voice import Voice
from snath.shop.pictures.window import window_picture

PICTURE_WIDTH = 760


def job_sheet(
    job: Job,
    result: Result,
    *,
    facts: SheetFacts,
    paper: str = "a4",
    voice: Voice | None = None,
) -> bytes:
    """The job sheet as PDF.

    Parameters
    ----------
    job, result : Job, Result
        As saved; every figure on the sheet is theirs.
    facts : SheetFacts
        Who, for whom, which number, seals, photos.
    paper : str
        "a4" or "us-letter".
    voice : Voice, optional
        Who speaks: language, units, decimal mark. English where left out.
    """
    voice = (voice or paper_voice()).about(job)
    found, left = found_and_left(job, result)
    picture = window_picture(
        result.window,
        voice,
        reading=_shown(found, left),
        verdict=(left or found).verdict if left or found else None,  # type: ignore[union-attr]
        width=PICTURE_WIDTH,
    )
    does, tracks = running(job, result, voice)
    data = {
        **head(job, result, facts, voice),
        "running": does,
        "title": f"{voice.say('job.title')} · {facts.number or job.id}",
        "date": voice.say("job.date", date=day(voice, job.judged_on)) if job.judged_on else "",
        "outcome": outcome(job, voice),
        "stands": stands_block(result, voice),
        "figures": _figures(job, result, found, left, voice),
        "facts": machine_facts(job, facts, voice),
        "wide_facts": pairs(voice, [("fact.blade-size", _tip_circles(job.machine, voice))]),
        "picture_text": picture.text,
        "arithmetic": arithmetic(result.window, voice),
        "readings": reading_rows(job, result, voice),
        "history": history_lines(job, result, voice),
        "reading_unit": voice.say("reading.unit-note", unit=voice.say("unit.rpm-axis")),
        "verdicts": [verdict_block(stage, job, result, voice) for stage in STAGES],
        "members": member_rows(job, result, voice),
        "rules": rules_used(job, result, voice),
        "remedies": remedies(result.window, voice),
        "notes": _notes(result, facts, voice),
        "seals": pairs(
            voice, [("job.seals-found", facts.seals_found), ("job.seals-renewed", facts.seals_renewed)]
        ),
        "photos": _kept(job, facts),
        "cautions": cautions(voice),
        "signatures": [[voice.say(f"job.{key}"), name] for key, name in _signing(facts)],
        "alone": voice.say("job.one-person") if facts.one_person and not facts.countersigned_by else "",
    }
    return printed(
        "job_sheet.typ",
        data,
        voice=voice,
        paper=paper,
        made=facts.printed_on or job.judged_on,
        pictures={"window": picture.svg, **tracks},
    )


def outcome(job: Job, voice: Voice) -> str:
    """What became of the machine, where that is not simply 'set'."""
    key = "job.outcome-" + "-".join(job.outcome.replace(":", "").split())
    return voice.words.get(key, job.outcome) if job.outcome else ""


def machine_facts(job: Job, facts: SheetFacts, voice: Voice) -> list[list[str]]:
    """Label and value of everything that says which machine this is and in what state."""
    machine = job.machine
    use = ", ".join(part for part in (voice.term("use", machine.use), str(machine.made or "")) if part)
    return pairs(
        voice,
        [
            ("fact.machine", machine.name),
            ("fact.owner", facts.customer),
            ("fact.kind", voice.term("machine-kind", machine.kind)),
            ("fact.serial", machine.serial),
            ("fact.use", use),
            ("fact.engine-code", machine.engine.code),
            ("fact.hours", facts.hours),
            *(
                [
                    ("fact.blade-part", facts.blade_part),
                    ("fact.blade-condition", facts.blade_condition),
                ]
                if voice.blades
                else []
            ),
            ("fact.maker-figure", _maker_figure(machine, voice)),
            (
                "fact.manual",
                facts.manual or (machine.engine.maker_no_load.source if machine.engine.maker_no_load else ""),
            ),
            ("fact.market", job.market),
            ("fact.decision", voice.term("decision", job.decision)),
        ],
    )


def _signing(facts: SheetFacts) -> list[tuple[str, str]]:
    """Who signs what; a shop of one person has nobody to countersign."""
    rows = [("read-by", facts.read_by), ("set-by", facts.set_by)]
    if facts.countersigned_by or not facts.one_person:
        rows.append(("countersigned-by", facts.countersigned_by))
    return rows


def _tip_circles(machine: Machine, voice: Voice) -> str:
    said = []
    for member in machine.members:
        for size in member.sizes:
            name = voice.term("member", member.name)
            name = f"{name}, {voice.said(size.name)}" if size.name else name
            said.append(f"{name}: {length(voice, size.diameter.value)}")
    return "; ".join(said)


def _maker_figure(machine: Machine, voice: Voice) -> str:
    figure = machine.engine.maker_no_load
    if figure is None:
        return voice.say("job.not-known")
    return voice.say(
        "fact.maker-figure-value",
        speed=bare_rpm(voice, figure.rev_s),
        tolerance=rpm(voice, figure.tolerance),
        condition=voice.condition(figure.condition),
    )


def _figures(
    job: Job, result: Result, found: Standing | None, left: Standing | None, voice: Voice
) -> list[dict[str, Any]]:
    """The figures in large digits: never above, set to, as found, as left."""
    window, engine = result.window, voice.say("job.at-crankshaft", unit=voice.say("unit.rpm-axis"))
    never = voice.say("job.not-known") if window.ceiling is None else bare_rpm(voice, window.ceiling, "down")
    target, band = voice.say("job.not-set"), ""
    if window.target is not None and window.set_low is not None and window.set_high is not None:
        target = bare_rpm(voice, window.target)
        band = voice.say(
            "job.set-band",
            low=bare_rpm(voice, window.set_low, "up"),
            high=bare_rpm(voice, window.set_high, "down"),
        )
    elif window.setting == "stop":
        target = voice.say("job.stop")
    elif window.setting == "blocked":
        target = voice.term("word", "blocked")
    figures = [{"name": voice.say("job.never-above"), "value": never, "under": engine, "key": "never"}]
    if window.uncovered:
        figures[0]["word"] = voice.say("job.not-covered", names=", ".join(window.uncovered))
    if job.outcome != "accident machine: read only":
        figures.append({"name": voice.say("job.set-to"), "value": target, "under": band, "key": "set"})
    for key, standing in (("as-found", found), ("as-left", left)):
        value, under = have(standing, voice)
        word = voice.term("word", standing.verdict.word) if standing else ""
        if key == "as-left" and result.stands.left_as_found:
            value, word = have(found, voice)[0], voice.say("job.as-it-was-found")
        figures.append(
            {"name": voice.say(f"job.{key}"), "value": value, "under": under, "word": word, "key": key}
        )
    return figures


def _shown(found: Standing | None, left: Standing | None) -> Reading | None:
    standing = left or found
    return standing.reading if standing else None


def _notes(result: Result, facts: SheetFacts, voice: Voice) -> list[str]:
    notes: tuple[Message | str, ...] = (*result.window.notes, *result.notes)
    said = [voice.said(note) for note in dict.fromkeys(notes)]
    return [*said, facts.note] if facts.note else said


def _kept(job: Job, facts: SheetFacts) -> list[list[str]]:
    rows = [[photo.name, photo.note, photo.sha256] for photo in facts.photos]
    known = {photo.sha256 for photo in facts.photos}
    rows += [[e.media, e.note or e.clock, e.sha256] for e in job.evidence if e.sha256 not in known]
    return rows
