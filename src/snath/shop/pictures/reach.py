"""Draw flights of a struck stone, for teaching: nothing is shaded, no zone is drawn as clear."""

import math

from snath.decisions.behaviour.throw_reach import Reach
from snath.quantities.errors import InputError
from snath.shop.pictures import svg
from snath.shop.pictures.figures import digits
from snath.shop.pictures.lettering import fitted, text_width
from snath.shop.pictures.picture import Picture
from snath.shop.pictures.scale import Scale
from snath.shop.pictures.svg import Element
from snath.shop.pictures.throw import LINE, paragraph, spoken
from snath.shop.pictures.voice import Voice

LOOKS = ("heavy", "line", "dashed")  # rough, smoother, ball
NAMES = ("rough", "smoother", "ball")
STAGE, TALLEST, UNDER = 30.0, 82.0, 26.0  # room for a stage's name, its flights at most, their distances


def reach_picture(
    reaches: tuple[Reach, ...], elevations: tuple[float, float], voice: Voice, *, width: float = 720
) -> Picture:
    """One thing at every stage, its farthest flights under each other to one scale; words say the same."""
    if not reaches or len({reach.thing for reach in reaches}) != 1:
        raise InputError("flights", len(reaches), "must be of one thing, at least one stage")
    voice = spoken(voice)
    text = " ".join([*(_sentence(reach, voice) for reach in reaches), voice.say("reach.none")])
    points = [point for reach in reaches for path in reach.paths for point in path]
    along = Scale(0.0, max(x for x, _ in points) * 1.04, 0.0, width)
    high, low = max(reach.apex for reach in reaches), min(0.0, *(y for _, y in points))
    times = _exaggeration(along, high - low)
    row = STAGE + (high - low) * _per_metre(along) * times + UNDER
    heading = paragraph(_heading(reaches[0], elevations, voice), 18, width, bold=True)
    y = 18.0 + LINE * len(heading)
    parts = [*heading, *_key(voice, y)]
    y += 8
    for reach in reaches:
        parts += _flights(reach, along, times, voice, top=y, high=high)
        y += row
    parts += _axis(along, voice, y=y, width=width, times=times)
    warning = paragraph(voice.say("reach.none"), y + 62, width, bold=True)
    drawing = svg.document(
        *parts,
        *warning,
        width=width,
        height=y + 50 + LINE * (len(warning) + 1),
        title=voice.say("reach.title"),
        description=text,
        kind="reach",
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


def _key(voice: Voice, y: float) -> list[Element]:
    parts, x = [], 0.0
    for look, name in zip(LOOKS, NAMES, strict=True):
        words = voice.say(f"reach.{name}")
        parts += [
            svg.line(x, y - 4, x + 26, y - 4, look=look),
            svg.label(x + 31, y, words, look="soft", size=12),
        ]
        x += 44 + text_width(words, 12)
    return parts


def _exaggeration(along: Scale, span: float) -> int:
    """How many times heights are drawn larger, whole, so that the flattest row fills its room."""
    return max(1, int(TALLEST / (_per_metre(along) * max(span, 0.1))))


def _per_metre(along: Scale) -> float:
    return (along.end - along.start) / (along.high - along.low)


def _flights(
    reach: Reach, along: Scale, times: int, voice: Voice, *, top: float, high: float
) -> list[Element]:
    """One stage: the ground as it rises or falls, and the three flights down to it."""
    up = _per_metre(along) * times
    level = top + STAGE + high * up
    far, fall = max((path[-1] for path in reach.paths), key=lambda point: point[0])
    end = level - fall / far * along.high * up if far > 0 else level
    parts = [
        svg.label(0, top + STAGE - 4, voice.term("stage", reach.stage), bold=True),
        svg.line(along.start, level, along.end, end, look="thin"),
    ]
    for look, path in zip(LOOKS, reach.paths, strict=False):
        parts.append(svg.polyline([(along.at(x), level - y * up) for x, y in path], look=look))
        x, y = along.at(path[-1][0]), level - path[-1][1] * up
        parts.append(
            svg.label(min(x, along.end - 2), y + 14, f"{_whole(path[-1][0], voice)} m", size=12, anchor="end")
        )
    return parts


def _axis(along: Scale, voice: Voice, *, y: float, width: float, times: int) -> list[Element]:
    parts = [svg.line(0, y, width, y, look="thin")]
    for tick in along.ticks(int(width // 90)):
        x = along.at(tick)
        parts.append(svg.line(x, y, x, y + 6, look="thin"))
        anchor = "start" if tick == 0 else "middle"
        parts.append(svg.label(x, y + 19, _whole(tick, voice), look="soft", size=12, anchor=anchor))
    words = voice.say("reach.axis", times=times) if times > 1 else voice.say("reach.axis-plain")
    parts.append(svg.label(width, y + 36, fitted(words, width, 12), look="soft", size=12, anchor="end"))
    return parts


def _whole(metres: float, voice: Voice) -> str:
    return digits(voice, metres)
