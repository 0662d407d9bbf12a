"""How far could a struck stone get? Flights drawn for teaching; nothing is shaded, no zone is drawn as clear."""

import math

from snath.decisions.behaviour.throw_reach import Reach
from snath.quantities.errors import InputError
from snath.shop.pictures import svg
from snath.shop.pictures.figures import digits
from snath.shop.pictures.picture import Picture
from snath.shop.pictures.scale import Scale
from snath.shop.pictures.svg import Element
from snath.shop.pictures.throw import spoken
from snath.shop.pictures.voice import Voice

LOOKS = ("heavy", "line", "dashed")  # rough, smoother, ball
NAMES = ("rough", "smoother", "ball")
ROW, TOP, FOOT = 128.0, 56.0, 74.0


def reach_picture(
    reaches: tuple[Reach, ...], elevations: tuple[float, float], voice: Voice, *, width: float = 720
) -> Picture:
    """One thing at every stage, its farthest flights under each other to one scale; words say the same."""
    if not reaches or len({reach.thing for reach in reaches}) != 1:
        raise InputError("flights", len(reaches), "must be of one thing, at least one stage")
    voice = spoken(voice)
    text = " ".join([*(_sentence(reach, voice) for reach in reaches), voice.say("reach.none")])
    farthest = max(point[0] for reach in reaches for path in reach.paths for point in path)
    highest = max(reach.apex for reach in reaches)
    along = Scale(0.0, farthest * 1.04, 0.0, width)
    times = _exaggeration(along, highest)
    height = TOP + ROW * len(reaches) + FOOT
    parts = [
        svg.label(0, 18, svg.fitted(_heading(reaches[0], elevations, voice), width, bold=True), bold=True)
    ]
    parts += _key(voice)
    for place, reach in enumerate(reaches):
        parts += _flights(reach, along, times, voice, ground=TOP + ROW * (place + 1))
    parts += _axis(along, voice, ground=TOP + ROW * len(reaches), width=width, times=times)
    parts.append(svg.label(0, height - 8, svg.fitted(voice.say("reach.none"), width, bold=True), bold=True))
    drawing = svg.document(
        *parts, width=width, height=height, title=voice.say("reach.title"), description=text, kind="reach"
    )
    return Picture(drawing, text)


def _sentence(reach: Reach, voice: Voice) -> str:
    ball = "" if reach.sphere is None else voice.say("reach.text-ball", ball=_whole(reach.sphere, voice))
    return voice.say(
        "reach.text",
        thing=reach.thing,
        stage=voice.term("stage", reach.stage),
        rough=_whole(reach.rough, voice),
        smoother=_whole(reach.smoother, voice),
        ball=ball,
        apex=_whole(reach.apex, voice),
    )


def _heading(reach: Reach, elevations: tuple[float, float], voice: Voice) -> str:
    low, high = (digits(voice, math.degrees(angle)) for angle in elevations)
    return voice.say(
        "reach.heading", thing=reach.thing, degrees=voice.say("reach.degrees", low=low, high=high)
    )


def _key(voice: Voice) -> list[Element]:
    parts, x = [], 0.0
    for look, name in zip(LOOKS, NAMES, strict=True):
        words = voice.say(f"reach.{name}")
        parts += [svg.line(x, 36, x + 30, 36, look=look), svg.label(x + 36, 40, words, look="soft", size=12)]
        x += 60 + svg.text_width(words, 12)
    return parts


def _exaggeration(along: Scale, highest: float) -> int:
    """How many times heights are drawn larger, whole, so that the flattest row fills its room."""
    per_metre = (along.end - along.start) / (along.high - along.low)
    return max(1, int((ROW - 34) / (per_metre * max(highest, 0.1))))


def _flights(reach: Reach, along: Scale, times: int, voice: Voice, *, ground: float) -> list[Element]:
    per_metre = (along.end - along.start) / (along.high - along.low) * times
    stage = svg.label(0, ground - ROW + 44, voice.term("stage", reach.stage), bold=True)
    parts = [stage, svg.line(along.start, ground, along.end, ground, look="thin")]
    for look, path in zip(LOOKS, reach.paths, strict=False):
        parts.append(svg.polyline([(along.at(x), ground - y * per_metre) for x, y in path], look=look))
        end = along.at(path[-1][0])
        words = f"{_whole(path[-1][0], voice)} m"
        parts.append(svg.label(min(end, along.end - 4), ground + 14, words, size=12, anchor="end"))
    return parts


def _axis(along: Scale, voice: Voice, *, ground: float, width: float, times: int) -> list[Element]:
    parts = []
    for tick in along.ticks(8):
        x = along.at(tick)
        parts.append(svg.line(x, ground + 20, x, ground + 26, look="thin"))
        anchor = "start" if tick == 0 else "middle"
        parts.append(svg.label(x, ground + 39, _whole(tick, voice), look="soft", size=12, anchor=anchor))
    words = voice.say("reach.axis", times=times) if times > 1 else voice.say("reach.axis-plain")
    parts.append(svg.line(0, ground + 20, width, ground + 20, look="thin"))
    parts.append(
        svg.label(width, ground + 52, svg.fitted(words, width, 12), look="soft", size=12, anchor="end")
    )
    return parts


def _whole(metres: float, voice: Voice) -> str:
    return digits(voice, metres)
