"""Draw what a thrown stone carries, as found, as left and at the limit, so that a customer sees it.

Energies only: no distance and no zone stands on it. How far things could get is drawn in `reach`.
"""

from dataclasses import replace

from snath.decisions.behaviour.throw import Carried
from snath.quantities.errors import InputError
from snath.shop.pictures import svg
from snath.shop.pictures.figures import digits
from snath.shop.pictures.lettering import text_width
from snath.shop.pictures.picture import Picture
from snath.shop.pictures.scale import Scale
from snath.shop.pictures.svg import Element
from snath.shop.pictures.voice import Voice
from snath.words.tables import shown

WORDS = "throws"
LIMIT = "at the limit"
HAMMER, COLUMN, POLE = 66.0, 226.0, 26.0  # room for a hammer and its figure, the tallest pole, its width
PERSON, PERSON_ROOM = 1.75, 120.0  # m, as drawn; room for the person
LINE = 18.0
NAME = 12.0  # of the letters under the person


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
        given = ", ".join(one.stage for one in carried)
        raise InputError("stages", given, "must be of one thing, one of them at the limit")
    text = " ".join([*(_sentence(one, limit, voice) for one in carried), *_small_print(voice)])
    heading = paragraph(voice.say("throw.heading", thing=limit.thing), 18, width, size=16, bold=True)
    top = 24.0 * len(heading) + HAMMER
    bottom = top + COLUMN
    up = Scale(0.0, max(one.hammer for one in carried), bottom, top)
    name = max(text_width(word, NAME) for word in voice.say("throw.person").split())
    left = max(min(PERSON_ROOM, 0.16 * width), name + 6)
    room = (width - left) / len(carried)
    edge = up.at(limit.hammer)
    parts = [*heading, *_person(up, voice, room=left), svg.line(0, edge, width, edge, look="dashed")]
    feet = []
    for place, one in enumerate(carried):
        parts += _column(one, limit, up, voice, middle=left + room * (place + 0.5))
        feet.append(
            _foot(one, limit, voice, middle=left + room * (place + 0.5), room=room - 6, y=bottom + 20)
        )
    parts += [svg.line(0, bottom, width, bottom, look="heavy")]
    parts += [element for foot in feet for element in foot]
    y = bottom + 32 + LINE * max(len(foot) for foot in feet)
    for words, bold in ((voice.say("throw.square"), False), (voice.say("throw.away"), True)):
        note = paragraph(words, y, width, bold=bold)
        parts += note
        y += LINE * len(note)
    drawing = svg.document(
        *parts, width=width, height=y, title=voice.say("throw.title"), description=text, kind="throw"
    )
    return Picture(drawing, text)


def paragraph(
    words: str, y: float, width: float, *, size: float = 14, bold: bool = False, middle: float | None = None
) -> list[Element]:
    """Words on as many lines as they need, the first with its base line at `y`; a warning is never cut."""
    lines: list[str] = []
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size, bold=bold) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    x, anchor = (0.0, "start") if middle is None else (middle, "middle")
    step = LINE if size <= 14 else 24.0
    return [
        svg.label(x, y + step * row, line, size=size, bold=bold, anchor=anchor)
        for row, line in enumerate(lines)
    ]


def spoken(voice: Voice) -> Voice:
    """The voice with the words of this picture."""
    return replace(voice, words={**voice.words, **shown(WORDS, voice.language)})


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


def _column(one: Carried, limit: Carried, up: Scale, voice: Voice, *, middle: float) -> list[Element]:
    """A pole with a hammer on top; what stands over the limit is black."""
    height, edge, ground = up.at(one.hammer), up.at(min(one.hammer, limit.hammer)), up.start
    parts = [svg.rectangle(middle - POLE / 2, edge, POLE, ground - edge, look="set")]
    if height < edge:
        parts.append(svg.rectangle(middle - POLE / 2, height, POLE, edge - height, look="binds"))
    parts += [  # head down, handle up, about to fall
        svg.line(middle, height - 34, middle, height - 14, look="heavy"),
        svg.rectangle(middle - 22, height - 16, 44, 14, look="mark"),
    ]
    metres = voice.say("throw.height", metres=digits(voice, one.hammer, 1))
    wide = text_width(metres, 16, bold=True) + 8
    parts.append(svg.rectangle(middle - wide / 2, height - 54, wide, 18, look="page"))
    parts.append(svg.label(middle, height - 40, metres, bold=True, size=16, anchor="middle"))
    return parts


def _foot(
    one: Carried, limit: Carried, voice: Voice, *, middle: float, room: float, y: float
) -> list[Element]:
    """Under the pole: stage, joules, and the share of the limit."""
    lines = paragraph(voice.term("stage", one.stage), y, room, bold=True, middle=middle)
    below = [voice.say("throw.joules", joules=digits(voice, one.energy_low))]
    if one is not limit:
        below.append(voice.say("throw.share", percent=_percent(one, limit, voice)))
    for words in below:
        lines += paragraph(words, y + LINE * len(lines), room, middle=middle)
    return lines


def _person(up: Scale, voice: Voice, *, room: float) -> list[Element]:
    """For scale, at the foot on the left."""
    ground = up.start
    tall = ground - up.at(PERSON)
    head, middle = tall / 8, room / 3
    shoulder, hip = ground - 0.8 * tall, ground - 0.48 * tall
    return [
        svg.circle(middle, ground - tall + head, head, look="mark"),
        svg.line(middle, shoulder, middle, hip, look="heavy"),
        svg.line(middle, hip, middle - 0.14 * tall, ground, look="line"),
        svg.line(middle, hip, middle + 0.14 * tall, ground, look="line"),
        svg.line(middle - 0.2 * tall, shoulder + 0.3 * tall, middle, shoulder, look="line"),
        svg.line(middle, shoulder, middle + 0.2 * tall, shoulder + 0.3 * tall, look="line"),
        *paragraph(voice.say("throw.person"), ground + 16, room, size=NAME),
    ]
