"""The band on top of the window picture: where the crankshaft must not run, where it may, where to set it."""

from dataclasses import dataclass

from snath.decisions.window.window import Window
from snath.shop.pictures import svg
from snath.shop.pictures.figures import bare_rpm
from snath.shop.pictures.labels import Tag, drawn, placed
from snath.shop.pictures.scale import Scale
from snath.shop.pictures.svg import Element
from snath.shop.pictures.voice import Voice

BAND = 34.0  # its height
LINE = 19.0  # one line of words


@dataclass(frozen=True, slots=True)
class WindowFrame:
    """What every part of the picture is drawn by."""

    voice: Voice
    window: Window
    scale: Scale
    width: float
    top: float  # of the band


def ground(frame: WindowFrame, bottom: float) -> list[Element]:
    """The allowed stretch as a light column behind everything, so that it is seen as an intersection."""
    low, high = _edges(frame)
    if not frame.window.feasible:
        return []
    return [
        svg.rectangle(low, frame.top, high - low, bottom - frame.top, look="allowed", opacity=0.45),
    ]


def _edges(frame: WindowFrame) -> tuple[float, float]:
    window, scale = frame.window, frame.scale
    low = scale.start if window.floor is None else scale.at(window.floor)
    high = scale.end if window.ceiling is None else scale.at(window.ceiling)
    return low, high


def band(frame: WindowFrame) -> list[Element]:
    """The band itself."""
    window, scale, top = frame.window, frame.scale, frame.top
    low, high = _edges(frame)
    if not window.feasible and window.ceiling is not None:
        low = high
    parts = [svg.rectangle(scale.start, top, scale.end - scale.start, BAND, look="blocked")]
    parts.append(svg.hatched(scale.start, top, low - scale.start, BAND, step=11))
    parts.append(svg.hatched(high, top, scale.end - high, BAND, step=6))
    if window.feasible:
        parts.append(svg.rectangle(low, top, high - low, BAND, look="allowed"))
    if window.set_low is not None and window.set_high is not None:
        left, right = scale.at(window.set_low), scale.at(window.set_high)
        parts.append(svg.rectangle(left, top + 8, max(2.0, right - left), BAND - 16, look="set"))
    parts.append(svg.rectangle(scale.start, top, scale.end - scale.start, BAND, look="thin"))
    if window.floor is not None:
        x = scale.at(window.floor)
        parts.append(svg.line(x, top - 3, x, top + BAND + 3, look="line"))
    if window.ceiling is not None:
        x = scale.at(window.ceiling)
        parts.append(svg.line(x, top - 5, x, top + BAND + 5, look="limit"))
    if window.target is not None:
        x, y = scale.at(window.target), top + BAND / 2
        parts.append(svg.polygon([(x, y - 11), (x + 9, y), (x, y + 11), (x - 9, y)], look="target"))
    return parts


def edge_labels(frame: WindowFrame) -> tuple[list[Element], int]:
    """Words under the edges and the target, and how many lines they take."""
    window, voice, scale = frame.window, frame.voice, frame.scale
    tags = []
    if window.ceiling is not None:
        words = voice.say("window.never-above", speed=bare_rpm(voice, window.ceiling, "down"))
        tags.append(Tag(scale.at(window.ceiling), words, bold=True))
    if window.floor is not None:
        words = voice.say("window.at-least", speed=bare_rpm(voice, window.floor, "up"))
        tags.append(Tag(scale.at(window.floor), words))
    if window.target is not None:
        words = voice.say("window.set-to", speed=bare_rpm(voice, window.target))
        tags.append(Tag(scale.at(window.target), words, bold=True))
    if not window.feasible:
        key = "no-ceiling" if window.ceiling is None else "floor-above-ceiling"
        tags.append(Tag(frame.width / 2, voice.say(f"window.{key}"), bold=True))
    places = placed(tags, frame.width, size=15)
    below = frame.top + BAND + 18
    lines = 1 + max((place.row for place in places), default=-1)
    return [drawn(p, below + p.row * LINE, frame.width, size=15) for p in places], lines
