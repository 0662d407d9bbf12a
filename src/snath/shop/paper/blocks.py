"""Parts that several sheets share: the arithmetic, the rules with their standing, the cautions, the head."""

from collections.abc import Iterator
from typing import Any

from snath.decisions.job.job import Job
from snath.decisions.job.result import Result
from snath.decisions.window.fold import folded, names
from snath.decisions.window.window import Bound, Window
from snath.rules.book import Rule
from snath.shop.paper.facts import SheetFacts
from snath.shop.paper.voices import day
from snath.shop.pictures.figures import rpm
from snath.shop.pictures.voice import Voice

CAUTIONS = ("leads", "lift", "guards", "running", "hot", "under", "maker")


def head(job: Job, result: Result, facts: SheetFacts, voice: Voice) -> dict[str, Any]:
    """Who prints, which job, which version, worked out by which program."""
    number = facts.number or job.id
    return {
        "shop": facts.shop,
        "shop_lines": list(facts.shop_lines),
        "number": voice.say("job.number", number=number),
        "footer": " · ".join(_footer(result, number, facts, voice)),
        "hash": voice.say("sheet.hash", hash=facts.record_hash) if facts.record_hash else "",
    }


def _footer(result: Result, number: str, facts: SheetFacts, voice: Voice) -> Iterator[str]:
    yield voice.say("job.number", number=number)
    if facts.version:
        yield voice.say("sheet.version", version=facts.version)
    yield result.program
    if facts.kept_by and facts.kept_by != result.program:
        yield voice.say("sheet.reworded", kept=facts.kept_by)
    if facts.printed_on:
        yield voice.say("sheet.printed", on=day(voice, facts.printed_on))


def stands_block(result: Result, voice: Voice) -> dict[str, Any]:
    """The one word of the job, and every fault that blocks it; an empty word where nothing was read."""
    stands = result.stands
    said = [voice.said(fault) for fault in stands.blocked_by]
    if stands.by == "not checked":
        said = [voice.say("checks.not-checked")]
    word = voice.term("word", stands.word) if stands.word else ""
    return {"word": word, "key": stands.word, "said": said, "loud": stands.word in ("blocked", "fail")}


def cautions(voice: Voice) -> list[str]:
    """What bites, in the order it bites."""
    return [voice.say(f"caution.{key}") for key in CAUTIONS]


def arithmetic(window: Window, voice: Voice) -> list[dict[str, Any]]:
    """Line by line for the worst alternative of every limit, the one that binds first, equal ones as one."""
    rows = [row for row in folded(window.bounds) if row[0].working]
    ordered = sorted(
        rows,
        key=lambda row: (
            all(b.member != window.binding for b in row),
            row[0].side != "ceiling",
            row[0].engine.value,
        ),
    )
    return [
        {
            "title": _of(row, voice),
            "lines": [voice.said(line) for line in row[0].working],
            "binds": any(_binds(bound, window) for bound in row),
        }
        for row in ordered
    ]


def _binds(bound: Bound, window: Window) -> bool:
    return (bound.member, bound.rule, bound.side) == (window.binding, window.binding_rule, "ceiling")


def _of(row: tuple[Bound, ...], voice: Voice) -> str:
    member = names(row, lambda b: voice.term("member", b.member))
    rule = names(row, lambda b: voice.term("rule", b.rule))
    if not row[0].alternative:
        return voice.say("job.arithmetic-line", member=member, rule=rule)
    seen = voice.said(row[0].alternative)
    return voice.say("job.arithmetic-alternative", member=member, rule=rule, alternative=seen)


def rules_used(job: Job, result: Result, voice: Voice) -> list[dict[str, str]]:
    """Every row some limit came from, as printed in its source, with how it is known."""
    used = {bound.rule for stage in (result.as_found, result.as_left) for bound in stage.window.bounds}
    used |= {bound.rule for bound in result.window.bounds}
    return [rule_row(rule, voice) for rule in job.rules if rule.id in used]


def rule_row(rule: Rule, voice: Voice) -> dict[str, str]:
    """One row of the rule book for print."""
    remarks = [voice.term("standing", rule.standing)]
    if not rule.in_force:
        remarks.append(voice.say("rule.historical"))
    if rule.overrides:
        remarks.append(voice.say("rule.overrides", rule=rule.overrides))
    source = ", ".join(part for part in (voice.said(rule.source), voice.said(rule.edition)) if part)
    return {
        "limit": f"{voice.said(rule.limits)}: {voice.said(rule.printed)}",
        "source": source,
        "standing": "; ".join(remarks),
        "note": voice.said(rule.note),
    }


def remedies(window: Window, voice: Voice) -> list[list[str]]:
    """What would open a shut window, each with what it would open it to."""
    rows = []
    for remedy in window.remedies:
        then = ""
        if remedy.ceiling is not None:
            then = voice.say("job.remedy-then", speed=rpm(voice, remedy.ceiling, "down"))
        if remedy.approval:
            then = "; ".join(part for part in (then, voice.say("job.remedy-approval")) if part)
        rows.append([voice.said(remedy.change), then])
    return rows
