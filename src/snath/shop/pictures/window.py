"""The allowed speed at a glance: which member limits it, where to set, and where the reading fell.

On top a band along the crankshaft's speed: hatched where it must not run, open where it may, dark where
to set. Under it a bar for every member up to its own ceiling; the black one is the shortest, and a line
joins its end to the edge of the band.
"""

from dataclasses import dataclass

from snath.decisions.machine.parts import CRANKSHAFT
from snath.decisions.reading.reading import Reading
from snath.decisions.verdict.verdict import Verdict
from snath.decisions.window.window import Window
from snath.shop.pictures import svg
from snath.shop.pictures.figures import bare_rpm, spread_rpm
from snath.shop.pictures.labels import Tag, drawn, placed
from snath.shop.pictures.members import MemberRow, member_rows
from snath.shop.pictures.picture import Picture
from snath.shop.pictures.scale import Scale, spanning
from snath.shop.pictures.svg import Element
from snath.shop.pictures.voice import Voice
from snath.shop.pictures.window_rows import BAR, BAR_TOP, ROW, member_bar
from snath.shop.pictures.window_text import window_text

BAND = 34.0  # height of the band on top
LINE = 19.0  # one line of words
ROWS_SHOWN = 12

TICKS_LEAST = 5  # asked for; a scale with one figure on it cannot be read


@dataclass(frozen=True, slots=True)
class _Frame:
    voice: Voice
    window: Window
    scale: Scale
    width: float
    top: float  # of the band


def window_picture(
    window: Window,
    voice: Voice,
    *,
    reading: Reading | None = None,
    verdict: Verdict | None = None,
    width: float = 720,
) -> Picture:
    """The window as a drawing `width` units wide and in words."""
    rows = member_rows(window)
    text = window_text(window, rows, voice, reading=reading, verdict=verdict)
    at_crank = reading is not None and reading.shaft == CRANKSHAFT and reading.value is not None
    frame = _Frame(voice, window, _scale(window, reading, width), width, 46.0 if at_crank else 6.0)
    parts: list[Element] = []
    labels, lines = _edge_labels(frame)
    rows_top = frame.top + BAND + lines * LINE + 12
    bottom = rows_top + min(len(rows), ROWS_SHOWN) * ROW
    parts += _ground(frame, bottom)
    parts += _band(frame)
    parts += labels
    for i, row in enumerate(rows[:ROWS_SHOWN]):
        parts += member_bar(row, frame.scale, voice, y=rows_top + i * ROW, width=width, reading=reading)
    parts += _binding_line(frame, rows, rows_top)
    if at_crank and reading is not None:
        parts += _reading(frame, reading, verdict)
    if len(rows) > ROWS_SHOWN:
        more = voice.say("window.more-members", count=len(rows) - ROWS_SHOWN)
        parts.append(svg.label(0, bottom + 14, more, look="soft", size=13))
        bottom += LINE
    parts += _axis(frame, bottom + 4)
    drawing = svg.document(
        *parts,
        width=width,
        height=bottom + 46,
        title=voice.say("window.title"),
        description=text,
        kind="window",
    )
    return Picture(drawing, text)


def _scale(window: Window, reading: Reading | None, width: float) -> Scale:
    values = [v for v in (window.floor, window.ceiling, window.target) if v is not None]
    values += [v for v in (window.set_low, window.set_high, window.fail_above) if v is not None]
    if reading is not None and reading.value is not None and reading.shaft == CRANKSHAFT:
        swing = reading.hunting or 0.0
        values += [reading.value.value - 2 * reading.value.u - swing]
        values += [reading.value.value + 2 * reading.value.u + swing]
    values = values or [bound.engine.value for bound in window.bounds] or [1.0]
    middle = max(values)
    if max(values) - min(values) < 0.16 * middle:  # a lone ceiling still needs room on both sides
        values += [middle * 0.86, middle * 1.06]
    return spanning(values, start=1, end=width - 1)


def _ground(frame: _Frame, bottom: float) -> list[Element]:
    """The allowed stretch as a light column behind everything, so that it is seen as an intersection."""
    low, high = _edges(frame)
    if not frame.window.feasible:
        return []
    return [
        svg.rectangle(low, frame.top, high - low, bottom - frame.top, look="allowed", opacity=0.45),
    ]


def _edges(frame: _Frame) -> tuple[float, float]:
    window, scale = frame.window, frame.scale
    low = scale.start if window.floor is None else scale.at(window.floor)
    high = scale.end if window.ceiling is None else scale.at(window.ceiling)
    return low, high


def _band(frame: _Frame) -> list[Element]:
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


def _edge_labels(frame: _Frame) -> tuple[list[Element], int]:
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


def _binding_line(frame: _Frame, rows: list[MemberRow], rows_top: float) -> list[Element]:
    """The end of the black bar is cut off by the same line as the band's edge."""
    if frame.window.ceiling is None or not rows or not rows[0].binds or rows[0].ceiling is None:
        return []
    x, top = frame.scale.at(frame.window.ceiling), rows_top + BAR_TOP
    return [svg.line(x, top - 4, x, top + BAR + 4, look="limit")]


def _reading(frame: _Frame, reading: Reading, verdict: Verdict | None) -> list[Element]:
    assert reading.value is not None
    voice, scale, y = frame.voice, frame.scale, frame.top - 10
    value, spread = reading.value.value, 2 * reading.value.u
    x = scale.at(value)
    words = voice.say("window.you-have", speed=bare_rpm(voice, value))
    if spread > 0:
        words = voice.say(
            "window.you-have-spread", speed=bare_rpm(voice, value), spread=spread_rpm(voice, spread)
        )
    if verdict is not None:
        words += " · " + voice.term("verdict", verdict.word)
    parts = []
    if reading.hunting:
        reach = reading.hunting + spread
        parts.append(svg.line(scale.at(value - reach), y, scale.at(value + reach), y, look="dotted"))
    left, right = scale.at(value - spread), scale.at(value + spread)
    parts += [svg.line(left, y, right, y, look="spread")]
    parts += [svg.line(end, y - 5, end, y + 5, look="spread") for end in (left, right)]
    parts.append(svg.polygon([(x - 8, y - 5), (x + 8, y - 5), (x, y + 11)], look="reading"))
    place = placed([Tag(x, words, bold=True)], frame.width, size=15)[0]
    parts.append(drawn(place, y - 14, frame.width, size=15))
    return parts


def _axis(frame: _Frame, y: float) -> list[Element]:
    voice, scale, width = frame.voice, frame.scale, frame.width
    parts = [svg.line(scale.start, y, scale.end, y, look="thin")]
    per_minute = Scale(scale.low * 60, scale.high * 60, scale.start, scale.end)
    for tick in per_minute.ticks(max(TICKS_LEAST, int(width // 90))):
        x = per_minute.at(tick)
        parts.append(svg.line(x, y, x, y + 5, look="thin"))
        place = placed([Tag(x, bare_rpm(voice, tick / 60), look="soft")], width, size=12)[0]
        parts.append(drawn(place, y + 18, width, size=12))
    unit = voice.say("unit.rpm-axis")
    words = voice.say("window.axis", unit=unit)
    parts.append(svg.label(width / 2, y + 36, words, look="soft", size=12, anchor="middle"))
    return parts
