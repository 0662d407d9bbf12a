"""Draw a speed over time, with the lines it should have stayed inside."""

from dataclasses import dataclass

from snath.formulas.signals.candidates import Track
from snath.quantities.units import Rounding
from snath.shop.pictures import svg
from snath.shop.pictures.figures import bare_rpm, digits
from snath.shop.pictures.labels import Tag, drawn, placed
from snath.shop.pictures.lettering import text_width
from snath.shop.pictures.picture import Picture
from snath.shop.pictures.scale import Scale, spanning
from snath.shop.pictures.svg import Element
from snath.shop.pictures.thinned import decimated
from snath.shop.pictures.track_text import track_text
from snath.shop.pictures.voice import Voice

LEFT = 52.0  # room for the figures of the speed axis
POINTS_PER_BUCKET = 5.0  # of the drawing's width


@dataclass(frozen=True, slots=True)
class Lines:
    """What the speed is held against, at the track's own shaft. [rev/s]"""

    ceiling: float | None = None
    floor: float | None = None
    target: float | None = None


@dataclass(frozen=True, slots=True)
class _Frame:
    voice: Voice
    track: Track
    lines: Lines
    time: Scale
    speed: Scale
    top: float
    bottom: float


def track_picture(
    track: Track, voice: Voice, *, lines: Lines | None = None, width: float = 720, height: float = 300
) -> Picture:
    """The track as a drawing and in words; a long one is thinned without losing a peak."""
    lines = lines or Lines()
    text = track_text(track, voice, ceiling=lines.ceiling)
    frame = _frame(track, voice, lines, width, height)
    parts = [
        *_axes(frame, width),
        *_gaps(frame),
        *_trace(frame),
        *_events(frame, width),
        *_limits(frame, width),
    ]
    drawing = svg.document(
        *parts,
        width=width,
        height=height,
        title=voice.say("track.title"),
        description=text,
        kind="track",
    )
    return Picture(drawing, text)


def _frame(track: Track, voice: Voice, lines: Lines, width: float, height: float) -> _Frame:
    times = [*track.t_s, *(t for gap in track.gaps for t in gap), *(event.t_s for event in track.events)] or [
        0.0,
        1.0,
    ]
    if max(times) <= min(times):
        times.append(times[0] + 1.0)
    speeds = [*track.rev_s, *(v for v in (lines.ceiling, lines.floor, lines.target) if v is not None)] or [
        0.0,
        1.0,
    ]
    top = 30.0 if track.events else 12.0
    bottom = height - 40.0
    time = Scale(min(times), max(times), LEFT, width - 6)
    return _Frame(voice, track, lines, time, spanning(speeds, start=bottom, end=top), top, bottom)


def _axes(frame: _Frame, width: float) -> list[Element]:
    voice, speed, time = frame.voice, frame.speed, frame.time
    parts = [svg.line(LEFT, frame.top, LEFT, frame.bottom, look="thin")]
    parts.append(svg.line(LEFT, frame.bottom, width - 6, frame.bottom, look="thin"))
    per_minute = Scale(speed.low * 60, speed.high * 60, speed.start, speed.end)
    for tick in per_minute.ticks(5):
        y = per_minute.at(tick)
        parts.append(svg.line(LEFT, y, width - 6, y, look="grid"))
        parts.append(
            svg.label(LEFT - 6, y + 4, bare_rpm(voice, tick / 60), look="soft", size=12, anchor="end")
        )
    ticks = time.ticks(int(width // 110))
    decimals = 0 if all(abs(t - round(t)) < 1e-9 for t in ticks) else 1
    for tick in ticks:
        x = time.at(tick)
        parts.append(svg.line(x, frame.bottom, x, frame.bottom + 4, look="thin"))
        place = placed([Tag(x, digits(voice, tick, decimals), look="soft")], width, size=12)[0]
        parts.append(drawn(place, frame.bottom + 17, width, size=12))
    unit = voice.say("unit.rpm-axis")
    shaft = voice.say("track.axis-speed", shaft=voice.term("shaft", frame.track.shaft), unit=unit)
    parts.append(svg.label(0, frame.bottom + 34, shaft, look="soft", size=12))
    words = voice.say("track.axis-time")
    parts.append(svg.label(width - 6, frame.bottom + 34, words, look="soft", size=12, anchor="end"))
    return parts


def _gaps(frame: _Frame) -> list[Element]:
    parts = []
    for start, end in frame.track.gaps:
        left, right = frame.time.at(start), frame.time.at(end)
        parts.append(svg.hatched(left, frame.top, right - left, frame.bottom - frame.top, step=9))
    return parts


def _limits(frame: _Frame, width: float) -> list[Element]:
    rows: tuple[tuple[float | None, str, str, Rounding, float], ...] = (
        (frame.lines.ceiling, "ceiling", "limit", "down", -6.0),
        (frame.lines.target, "target", "dotted", "nearest", -6.0),
        (frame.lines.floor, "floor", "dashed", "up", -6.0),
    )
    parts = []
    for value, key, look, rounding, off in rows:
        if value is None:
            continue
        y = frame.speed.at(value)
        words = frame.voice.say(f"track.{key}", speed=bare_rpm(frame.voice, value, rounding))
        parts.append(svg.line(LEFT, y, width - 6, y, look=look))
        parts.append(
            svg.rectangle(LEFT + 4, y + off - 11, text_width(words, 12, bold=True) + 4, 14, look="page")
        )
        parts.append(svg.label(LEFT + 6, y + off, words, size=12, bold=key == "ceiling"))
    return parts


def _trace(frame: _Frame) -> list[Element]:
    """The speed with a band of twice its standard uncertainty, broken where there is a gap."""
    parts = []
    long = max(1, len(frame.track.t_s))
    for times, speeds, spreads in _stretches(frame.track):
        buckets = max(2, round((frame.time.end - frame.time.start) / POINTS_PER_BUCKET * len(times) / long))
        upper = tuple(v + 2 * u for v, u in zip(speeds, spreads, strict=True))
        lower = tuple(v - 2 * u for v, u in zip(speeds, spreads, strict=True))
        edge = decimated(times, upper, buckets) + decimated(times, lower, buckets)[::-1]
        if any(spreads):
            parts.append(svg.polygon(_on_paper(frame, edge), look="allowed"))
        line = _on_paper(frame, decimated(times, speeds, buckets))
        if len(line) == 1:
            parts.append(svg.circle(*line[0], 3, look="mark"))
        else:
            parts.append(svg.polyline(line, look="trace"))
    return parts


def _stretches(track: Track) -> list[tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...]]]:
    pieces: list[list[int]] = [[]]
    for i, t in enumerate(track.t_s):
        previous = track.t_s[i - 1] if i else t
        if any(previous <= start and end <= t for start, end in track.gaps) and pieces[-1]:
            pieces.append([])
        pieces[-1].append(i)
    return [
        (tuple(track.t_s[i] for i in p), tuple(track.rev_s[i] for i in p), tuple(track.u[i] for i in p))
        for p in pieces
        if p
    ]


def _on_paper(frame: _Frame, points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    return [(frame.time.at(t), frame.speed.at(v)) for t, v in points]


def _events(frame: _Frame, width: float) -> list[Element]:
    tags = [
        Tag(frame.time.at(event.t_s), frame.voice.term("event", event.kind), look="soft")
        for event in frame.track.events
        if event.kind != "gap"
    ]
    parts = [svg.line(tag.at, frame.top - 8, tag.at, frame.bottom, look="dotted") for tag in tags]
    parts += [drawn(place, frame.top - 12, width, 12) for place in placed(tags, width, 12) if place.row == 0]
    return parts
