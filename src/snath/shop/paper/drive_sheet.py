"""The parts list for a chosen drive: what to fit, what it does to the blades, how it runs, what to check again."""

import math

from snath.decisions.drive.choose import Choices
from snath.decisions.drive.confirm import NOT_ORIGINAL, RECHECK, Drive
from snath.decisions.drive.problem import Choice, Post
from snath.quantities.units import show
from snath.shop.paper.press import WORDS as PAPER_WORDS
from snath.shop.paper.press import printed
from snath.shop.pictures.drive import drive_picture
from snath.shop.pictures.route import WORDS
from snath.shop.pictures.voice import LengthUnit, Voice, speaking

CARE = (
    "Every plug lead off and grounded, key out, fuel off, battery out, blades blocked before a hand goes near them.",
    "The maker's manual and local codes come first.",
    "First start outdoors, guards on, people away, eyes and ears covered; nobody looks under a running deck.",
)


def drive_sheet(
    found: Choices,
    drive: Drive,
    *,
    machine: str,
    name: str,
    made: str = "",
    paper: str = "a4",
    language: str = "en",
    unit: LengthUnit = "in",
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
    paper, language, unit : str
    """
    voice = speaking(language, unit, PAPER_WORDS, WORDS)
    picture = drive_picture(found, drive, voice, name=name)
    data = {
        "title": voice.say("drive.title"),
        "machine": machine,
        "shop": "",
        "shop_lines": [],
        "chosen": voice.say("drive.chosen", speed=show(found.problem.speed, "rpm", digits=0)),
        "warning": "" if drive.original else NOT_ORIGINAL,
        "facts": _facts(found, drive, voice),
        "columns": [voice.say(f"drive.{key}") for key in ("place", "part", "number", "makers")],
        "parts": _parts(found, drive, voice),
        "ratios": [
            [c.driven, ", ".join(f"{r.value.value:.4f} {r.name}" for r in c.alternatives)]
            for c in drive.machine.couplings
            if c.driven in {post.shaft for post in found.problem.posts}
        ],
        "heads": {key: voice.say(f"drive.{key}") for key in ("parts", "ratios", "drawing", "care", "check")},
        "care": list(CARE),
        "checks": [] if drive.original else [f"{check[0].upper()}{check[1:]}." for check in RECHECK],
        "notes": [*drive.notes, *_alike(drive, voice)],
        "alt": picture.text,
        "footer": "",
        "hash": "",
    }
    return printed(
        "drive_sheet.typ", data, voice=voice, paper=paper, made=made, pictures={"route": picture.svg}
    )


def _facts(found: Choices, drive: Drive, voice: Voice) -> list[list[str]]:
    candidate, belt = drive.candidate, drive.candidate.belt.belt
    ceiling, passes = drive.window.ceiling, drive.window.pass_below
    grip = f"{candidate.grip:+.0%}" if math.isfinite(candidate.grip) else "–"
    x, y = drive.seat.place
    return [
        [voice.say("drive.never-above"), show(ceiling or 0.0, "rpm", digits=0, round="down")],
        [voice.say("drive.passes-below"), show(passes or 0.0, "rpm", digits=0, round="down")],
        [voice.say("drive.margin"), f"{candidate.margin:.1%}"],
        [voice.say("drive.grip"), grip],
        [
            voice.say("drive.belt-length"),
            f"{show(belt.length, 'mm')} ({show(belt.length, 'in', digits=2)}), {belt.line}",
        ],
        [voice.say("drive.moving", name=found.problem.moving), f"{x * 1000:.1f}, {y * 1000:.1f} mm"],
        [voice.say("drive.take-up"), f"{drive.share_left:.0%}"],
        [voice.say("drive.price"), f"{candidate.price:.2f}"],
    ]


def _parts(found: Choices, drive: Drive, voice: Voice) -> list[list[str]]:
    rows = [
        _row(post, choice, voice)
        for post, choice in zip(found.problem.posts, drive.candidate.choices, strict=True)
        if post.shaft
    ]
    belt = drive.candidate.belt
    number = belt.number if belt.changed else voice.say("drive.stays")
    name = voice.say("drive.belt", name=belt.belt.name)
    return [*rows, [voice.say("drive.belt-row"), name, number, belt.belt.part]]


def _row(post: Post, choice: Choice, voice: Voice) -> list[str]:
    size = show(choice.outside, voice.length)
    what = voice.say("drive.sheave", section=choice.section, size=size)
    return [post.name, what, choice.number if choice.changed else voice.say("drive.stays"), choice.part]


def _alike(drive: Drive, voice: Voice) -> list[str]:
    count = drive.candidate.ties
    return [voice.say("drive.alike", count=count)] if count > 1 else []
