"""Paper about the instruments: a label to stick on each, and the list an inspector asks for."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from snath.decisions.reading.instruments import Instrument, overdue
from snath.shop.paper.facts import SheetFacts
from snath.shop.paper.press import printed
from snath.shop.paper.voices import day, paper_voice
from snath.shop.pictures.figures import rpm, short, spread_rpm
from snath.shop.pictures.voice import Voice


@dataclass(frozen=True, slots=True)
class Check:
    """One comparison of an instrument with a reference. Speeds in rev/s, `drift` a fraction."""

    on: str
    reference: str
    read: float
    was: float
    drift: float | None = None
    who: str = ""


@dataclass(frozen=True, slots=True)
class CheckedInstrument:
    """An instrument with its checks, newest first."""

    instrument: Instrument
    checks: tuple[Check, ...] = ()


def instrument_labels(
    instruments: Sequence[Instrument],
    *,
    facts: SheetFacts,
    on: str,
    paper: str = "a4",
    voice: Voice | None = None,
) -> bytes:
    """Labels to cut out and stick on, as PDF."""
    voice = voice or paper_voice()
    data = {
        **_head(voice.say("label.title"), facts, on, voice),
        "labels": [
            {
                "id": instrument.id,
                "name": instrument.name,
                "checked": day(voice, instrument.checked_on) or voice.say("label.never-checked"),
                "due": day(voice, instrument.due_on) or voice.say("label.at-once"),
                "correction": _correction(instrument, voice),
                "overdue": overdue(instrument, on),
            }
            for instrument in instruments
        ],
    }
    return printed("labels.typ", data, voice=voice, paper=paper, made=on)


def calibration_list(
    rows: Sequence[CheckedInstrument],
    *,
    facts: SheetFacts,
    on: str,
    paper: str = "a4",
    voice: Voice | None = None,
) -> bytes:
    """Every instrument with its state on that day and its checks, as PDF."""
    voice = voice or paper_voice()
    data = {
        **_head(voice.say("calibration.title"), facts, on, voice),
        "on": voice.say("calibration.on", date=day(voice, on)),
        "instruments": [_listed(row, on, voice) for row in rows],
        "unit": voice.say("unit.rpm-axis"),
    }
    return printed("calibration.typ", data, voice=voice, paper=paper, made=on)


def _head(title: str, facts: SheetFacts, on: str, voice: Voice) -> dict[str, Any]:
    return {
        "title": title,
        "shop": facts.shop,
        "shop_lines": list(facts.shop_lines),
        "footer": voice.say("calibration.on", date=day(voice, on)),
    }


def _listed(row: CheckedInstrument, on: str, voice: Voice) -> dict[str, Any]:
    instrument = row.instrument
    late = overdue(instrument, on)
    state = "overdue" if late else "in-date"
    if not instrument.checked_on:
        state = "never"
    return {
        "late": late,
        "cells": [
            instrument.id,
            instrument.name,
            voice.term("instrument", instrument.kind),
            voice.say(
                "calibration.accuracy-value",
                percent=short(voice, 100 * instrument.accuracy, 4),
                digits=voice.say("unit.rpm", value=spread_rpm(voice, instrument.digits)),
            ),
            voice.say("unit.rpm", value=spread_rpm(voice, instrument.resolution)),
            day(voice, instrument.checked_on) or "–",
            day(voice, instrument.due_on) or "–",
            voice.say(f"calibration.{state}"),
        ],
        "correction": _correction(instrument, voice),
        "checks": [_check(check, voice) for check in row.checks],
    }


def _check(check: Check, voice: Voice) -> list[str]:
    drift = "–" if check.drift is None else f"{short(voice, 100 * check.drift, 3)} %"
    return [
        day(voice, check.on),
        check.reference,
        rpm(voice, check.read),
        rpm(voice, check.was),
        drift,
        check.who,
    ]


def _correction(instrument: Instrument, voice: Voice) -> str:
    if instrument.correction == 0:
        return voice.say("label.no-correction")
    return voice.say("label.correction", percent=short(voice, 100 * instrument.correction, 3))
