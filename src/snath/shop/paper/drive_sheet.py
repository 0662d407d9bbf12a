"""The parts list for a chosen drive: what to fit, what it does to the blades, how it runs, what to check again."""

import math
from collections.abc import Mapping
from dataclasses import replace

from snath.decisions.drive.choose import Choices, pieces
from snath.decisions.drive.confirm import NOT_ORIGINAL, RECHECK, Drive
from snath.decisions.drive.orders import is_order
from snath.decisions.drive.positions import Choice, Position
from snath.decisions.machine.parts import Ratio
from snath.quantities.numbers import in_mark
from snath.quantities.units import show
from snath.shop.paper.facts import SheetFacts
from snath.shop.paper.press import printed
from snath.shop.paper.voices import day, paper_voice
from snath.shop.pictures.drive import drive_picture
from snath.shop.pictures.figures import rpm
from snath.shop.pictures.route import WORDS
from snath.shop.pictures.voice import Voice
from snath.words.tables import shown

CARE = ("care-1", "care-2", "care-3")
DRAWN = 420.0  # of the drawing: it is printed at 60 % of the paper, its letters as large as the text
NOBODY = SheetFacts()
NOWHERE: Mapping[str, str] = {}


def drive_sheet(
    found: Choices,
    drive: Drive,
    *,
    machine: str,
    name: str,
    made: str = "",
    paper: str = "a4",
    voice: Voice | None = None,
    facts: SheetFacts = NOBODY,
    lies: Mapping[str, str] = NOWHERE,
) -> bytes:
    """A PDF for one drive.

    Parameters
    ----------
    found : Choices
        What it was chosen from.
    drive : Drive
    machine, name : str
        Of the machine and of the belt's frame.
    made : str
        ISO date put down as the PDF's own.
    paper : str
    voice : Voice, optional
        Who speaks: language, units, decimal mark. English where left out.
    facts : SheetFacts
        Shop, job and day, as on the other sheets.
    lies : mapping of str to str
        Where a stock number lies.
    """
    voice = voice or paper_voice()
    voice = replace(voice, words={**voice.words, **shown(WORDS, voice.language)})
    picture = drive_picture(found, drive, voice, name=name, width=DRAWN)
    data = {
        "title": voice.say("drive.title"),
        "machine": machine,
        "shop": facts.shop,
        "shop_lines": list(facts.shop_lines),
        "job": voice.say("drive.job", number=facts.number, version=facts.version) if facts.number else "",
        "chosen": voice.say("drive.chosen", speed=rpm(voice, found.problem.speed)),
        "warning": "" if drive.original else voice.said(NOT_ORIGINAL),
        "facts": _facts(found, drive, voice),
        "columns": [voice.say(f"drive.{key}") for key in ("place", "part", "number", "makers")],
        "parts": _parts(found, drive, voice, lies),
        "ratios": [
            [voice.said(c.driven), ", ".join(_ratio(way, voice) for way in c.alternatives)]
            for c in drive.machine.couplings
            if c.driven in {position.shaft for position in found.problem.positions}
        ],
        "heads": {key: voice.say(f"drive.{key}") for key in ("parts", "ratios", "drawing", "care", "check")},
        "care": [voice.say(f"drive.{line}") for line in CARE],
        "checks": [] if drive.original else [_sentence(voice.said(check)) for check in RECHECK],
        "notes": [*(voice.said(note) for note in drive.notes), *_alike(drive, voice)],
        "alt": picture.text,
        "footer": day(voice, facts.printed_on),
        "hash": voice.say("sheet.hash", hash=facts.record_hash) if facts.record_hash else "",
    }
    return printed(
        "drive_sheet.typ", data, voice=voice, paper=paper, made=made, pictures={"route": picture.svg}
    )


def _facts(found: Choices, drive: Drive, voice: Voice) -> list[list[str]]:
    candidate, belt, mark = drive.candidate, drive.candidate.belt.belt, voice.decimal_mark
    ceiling, passes = drive.window.ceiling, drive.window.pass_below
    grip = in_mark(f"{candidate.grip:+.0%}", mark) if math.isfinite(candidate.grip) else "–"
    priced = not any(map(is_order, pieces(candidate)))
    price = in_mark(f"{candidate.price:.2f}", mark) if priced else "–"
    x, y = drive.seat.place
    both = [show(belt.length, "mm", decimal_mark=mark), show(belt.length, "in", digits=2, decimal_mark=mark)]
    return [
        [voice.say("drive.never-above"), rpm(voice, ceiling or 0.0, "down")],
        [voice.say("drive.passes-below"), rpm(voice, passes or 0.0, "down")],
        [voice.say("drive.margin"), in_mark(f"{candidate.margin:.1%}", mark)],
        [voice.say("drive.grip"), grip],
        [voice.say("drive.belt-length"), f"{both[0]} ({both[1]}), {voice.say(f'drive.line-{belt.line}')}"],
        [
            voice.say("drive.moving", name=voice.said(found.problem.moving)),
            in_mark(f"{x * 1000:.1f}; {y * 1000:.1f} mm", mark),
        ],
        [voice.say("drive.take-up"), f"{drive.share_left:.0%}"],
        [voice.say("drive.price"), price],
    ]


def _ratio(way: Ratio, voice: Voice) -> str:
    return f"{in_mark(f'{way.value.value:.4f}', voice.decimal_mark)} {voice.said(way.name)}"


def _sentence(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}."


def _parts(found: Choices, drive: Drive, voice: Voice, lies: Mapping[str, str]) -> list[list[str]]:
    rows = [
        _row(position, choice, voice, lies)
        for position, choice in zip(found.problem.positions, drive.candidate.choices, strict=True)
        if position.shaft
    ]
    belt = drive.candidate.belt
    number = _number(belt.number, lies, voice) if belt.changed else voice.say("drive.stays")
    name = voice.say("drive.belt", name=belt.belt.name)
    return [*rows, [voice.say("drive.belt-row"), name, number, belt.belt.part]]


def _row(position: Position, choice: Choice, voice: Voice, lies: Mapping[str, str]) -> list[str]:
    size = show(choice.outside, voice.length, decimal_mark=voice.decimal_mark)
    what = voice.say("drive.sheave", section=choice.section, size=size)
    number = _number(choice.number, lies, voice) if choice.changed else voice.say("drive.stays")
    return [voice.said(position.name), what, number, choice.part]


def _number(number: str, lies: Mapping[str, str], voice: Voice) -> str:
    if is_order(number):
        return voice.say("drive.to-order")
    return ", ".join(filter(None, (number, lies.get(number, ""))))


def _alike(drive: Drive, voice: Voice) -> list[str]:
    count = drive.candidate.ties
    return [voice.say("drive.alike", count=count)] if count > 1 else []
