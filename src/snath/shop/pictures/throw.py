"""What does a thrown stone carry, as found, as left and at the limit? Drawn so that a customer sees it.

Energies only: no distance and no zone stands on it. How far things could get is drawn in `reach`.
"""

from dataclasses import replace
from pathlib import Path

from snath.decisions.behaviour.throw import Carried
from snath.quantities.errors import InputError
from snath.shop.pictures import svg
from snath.shop.pictures.figures import digits
from snath.shop.pictures.picture import Picture
from snath.shop.pictures.scale import Scale
from snath.shop.pictures.svg import Element
from snath.shop.pictures.voice import Voice, table

WORDS = Path(__file__).parent / "throw_words"
LIMIT = "at the limit"
TOP, BOTTOM, FOOT = 74.0, 300.0, 420.0  # where the columns end, the ground, the sheet
PERSON = 1.75  # m, as drawn
LEFT = 120.0  # room for the person


def throw_picture(carried: tuple[Carried, ...], voice: Voice, *, width: float = 720) -> Picture:
    """One thing at every stage, as a hammer falling from a height; words say the same.

    Parameters
    ----------
    carried : tuple of Carried
        Of one thing; one of the stages is "at the limit".
    voice : Voice
    width : float
        Of the drawing.

    Raises
    ------
    InputError
        If there is no stage at the limit, or things are mixed.
    """
    voice = spoken(voice)
    limit = next((one for one in carried if one.stage == LIMIT), None)
    if limit is None or len({one.thing for one in carried}) != 1:
        raise InputError(
            "stages", ", ".join(one.stage for one in carried), "must be of one thing, one at the limit"
        )
    text = " ".join([*(_sentence(one, limit, voice) for one in carried), *_small_print(voice)])
    up = Scale(0.0, max(one.hammer for one in carried), BOTTOM, TOP)
    room = (width - LEFT) / len(carried)
    parts = [svg.label(0, 20, svg.fitted(_heading(limit, voice), width, 16, bold=True), size=16, bold=True)]
    parts += _person(up, voice)
    for place, one in enumerate(carried):
        parts += _column(one, limit, up, voice, middle=LEFT + room * (place + 0.5), room=room)
    parts.append(svg.line(0, BOTTOM, width, BOTTOM, look="heavy"))
    edge = up.at(limit.hammer)
    parts.append(svg.line(0, edge, width, edge, look="dashed"))
    parts.append(svg.label(0, edge - 6, voice.say("throw.limit"), look="soft", size=12))
    notes = (voice.say("throw.square"), voice.say("throw.away"))
    for row, note in enumerate(notes):
        bold = row == 1
        parts.append(svg.label(0, FOOT - 28 + 20 * row, svg.fitted(note, width, bold=bold), bold=bold))
    drawing = svg.document(
        *parts, width=width, height=FOOT, title=voice.say("throw.title"), description=text, kind="throw"
    )
    return Picture(drawing, text)


def spoken(voice: Voice) -> Voice:
    """The voice with the words of this picture."""
    return replace(voice, words={**voice.words, **table(WORDS, voice.language)})


def _heading(one: Carried, voice: Voice) -> str:
    return voice.say("throw.heading", thing=one.thing)


def _sentence(one: Carried, limit: Carried, voice: Voice) -> str:
    return voice.say(
        "throw.text",
        thing=one.thing,
        stage=voice.term("stage", one.stage),
        joules=digits(voice, one.energy_low),
        metres=digits(voice, one.hammer, 1),
        percent=_percent(one, limit, voice),
    )


def _small_print(voice: Voice) -> tuple[str, str, str]:
    return voice.say("throw.square"), voice.say("throw.bounce"), voice.say("throw.away")


def _percent(one: Carried, limit: Carried, voice: Voice) -> str:
    return digits(voice, 100 * one.energy_low / limit.energy_low, rounding="up")


def _column(
    one: Carried, limit: Carried, up: Scale, voice: Voice, *, middle: float, room: float
) -> list[Element]:
    """A pole with a hammer on top; what stands over the limit is black."""
    height, edge = up.at(one.hammer), up.at(min(one.hammer, limit.hammer))
    half = 13.0
    parts = [svg.rectangle(middle - half, edge, 2 * half, BOTTOM - edge, look="set")]
    if height < edge:
        parts.append(svg.rectangle(middle - half, height, 2 * half, edge - height, look="binds"))
    parts += _hammer(middle, height)
    metres = voice.say("throw.height", metres=digits(voice, one.hammer, 1))
    joules = voice.say("throw.joules", joules=digits(voice, one.energy_low))
    stage = voice.term("stage", one.stage)
    share = voice.say("throw.share", percent=_percent(one, limit, voice))
    parts.append(svg.label(middle + 30, height - 6, metres, bold=True, size=16))
    parts.append(
        svg.label(middle, BOTTOM + 20, svg.fitted(stage, room, bold=True), anchor="middle", bold=True)
    )
    parts.append(svg.label(middle, BOTTOM + 40, joules, anchor="middle"))
    if one is not limit:
        parts.append(svg.label(middle, BOTTOM + 58, svg.fitted(share, room), anchor="middle"))
    return parts


def _hammer(middle: float, height: float) -> list[Element]:
    """Head down, handle up, about to fall."""
    return [
        svg.line(middle, height - 34, middle, height - 14, look="heavy"),
        svg.rectangle(middle - 22, height - 16, 44, 14, look="mark"),
    ]


def _person(up: Scale, voice: Voice) -> list[Element]:
    """For scale, at the foot on the left."""
    tall = BOTTOM - up.at(PERSON)
    head, middle = tall / 8, 30.0
    shoulder, hip = BOTTOM - 0.8 * tall, BOTTOM - 0.48 * tall
    return [
        svg.circle(middle, BOTTOM - tall + head, head, look="mark"),
        svg.line(middle, shoulder, middle, hip, look="heavy"),
        svg.line(middle, hip, middle - 0.14 * tall, BOTTOM, look="line"),
        svg.line(middle, hip, middle + 0.14 * tall, BOTTOM, look="line"),
        svg.line(middle - 0.2 * tall, shoulder + 0.3 * tall, middle, shoulder, look="line"),
        svg.line(middle, shoulder, middle + 0.2 * tall, shoulder + 0.3 * tall, look="line"),
        svg.label(0, BOTTOM + 20, voice.say("throw.person"), look="soft", size=12),
    ]
