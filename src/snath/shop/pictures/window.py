"""The allowed speed at a glance: which member limits it, where to set, and where the reading fell.

On top a band along the crankshaft's speed: hatched where it must not run, open where it may, dark where
to set. Under it a bar for every member up to its own ceiling; the black one is the shortest, and a line
joins its end to the edge of the band.
"""

from collections.abc import Iterator

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
from snath.shop.pictures.window_band import BAND, LINE, WindowFrame, band, edge_labels, ground
from snath.shop.pictures.window_rows import BAR, BAR_TOP, ROW, member_bar
from snath.shop.pictures.window_text import window_text

ROWS_SHOWN = 12

TICKS_LEAST = 5  # asked for; a scale with one figure on it cannot be read


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
    here = (
        reading if reading is not None and reading.shaft == CRANKSHAFT and reading.value is not None else None
    )
    known = _speeds(window, reading)
    frame = WindowFrame(voice, window, _scale(known, width), width, 6.0 if here is None else 46.0)
    labels, lines = edge_labels(frame)
    rows_top = frame.top + BAND + lines * LINE + 12
    rows_end = rows_top + min(len(rows), ROWS_SHOWN) * ROW
    more = _more(frame, len(rows) - ROWS_SHOWN, rows_end + 14)
    bottom = rows_end + LINE * len(more)
    drawing = svg.document(
        *ground(frame, rows_end),
        *band(frame),
        *labels,
        *_bars(frame, rows, rows_top, reading),
        *_binding_line(frame, rows, rows_top),
        *([] if here is None else _reading(frame, here, verdict)),
        *more,
        *(_axis(frame, bottom + 4) if known else []),
        width=width,
        height=bottom + 46,
        title=voice.say("window.title"),
        description=text,
        kind="window",
    )
    return Picture(drawing, text)


def _bars(
    frame: WindowFrame, rows: list[MemberRow], top: float, reading: Reading | None
) -> Iterator[Element]:
    """A bar for each of the members that are shown."""
    for i, row in enumerate(rows[:ROWS_SHOWN]):
        y = top + i * ROW
        yield from member_bar(row, frame.scale, frame.voice, y=y, width=frame.width, reading=reading)


def _more(frame: WindowFrame, count: int, y: float) -> list[Element]:
    """How many members are left out."""
    if count <= 0:
        return []
    return [svg.label(0, y, frame.voice.say("window.more-members", count=count), look="soft", size=13)]


def _speeds(window: Window, reading: Reading | None) -> list[float]:
    """Every speed the axis must hold; none where nothing is known. [rev/s]"""
    values = [v for v in (window.floor, window.ceiling, window.target) if v is not None]
    values += [v for v in (window.set_low, window.set_high, window.fail_above) if v is not None]
    if reading is not None and reading.value is not None and reading.shaft == CRANKSHAFT:
        swing = reading.hunting or 0.0
        values += [reading.value.value - 2 * reading.value.u - swing]
        values += [reading.value.value + 2 * reading.value.u + swing]
    return values or [bound.engine.value for bound in window.bounds]


def _scale(known: list[float], width: float) -> Scale:
    values = known or [1.0]
    middle = max(values)
    if max(values) - min(values) < 0.16 * middle:  # a lone ceiling still needs room on both sides
        values = [*values, middle * 0.86, middle * 1.06]
    return spanning(values, start=1, end=width - 1)


def _binding_line(frame: WindowFrame, rows: list[MemberRow], rows_top: float) -> list[Element]:
    """The end of the black bar is cut off by the same line as the band's edge."""
    if frame.window.ceiling is None or not rows or not rows[0].binds or rows[0].ceiling is None:
        return []
    x, top = frame.scale.at(frame.window.ceiling), rows_top + BAR_TOP
    return [svg.line(x, top - 4, x, top + BAR + 4, look="limit")]


def _reading(frame: WindowFrame, reading: Reading, verdict: Verdict | None) -> list[Element]:
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


def _axis(frame: WindowFrame, y: float) -> list[Element]:
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
