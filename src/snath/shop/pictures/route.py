"""The belt's route to scale: every pulley, which way it turns, where the belt runs, before and after."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from snath.formulas.belts.loop import Pulley, Route
from snath.formulas.belts.ways import Arm, Slot
from snath.quantities.units import show
from snath.shop.pictures import svg
from snath.shop.pictures.picture import Picture
from snath.shop.pictures.svg import Element
from snath.shop.pictures.voice import Voice, table

WORDS = Path(__file__).parent / "route_words"
MARGIN = 40.0  # round the drawing, for labels
LINE = 17.0
HEAD = 9.0  # length of an arrow's head
WAY_STEPS = 24


@dataclass(frozen=True, slots=True)
class _Sheet:
    """From metres, y upwards, to the paper."""

    left: float
    top: float
    scale: float

    def at(self, x: float, y: float) -> tuple[float, float]:
        return (x - self.left) * self.scale + MARGIN, (self.top - y) * self.scale + MARGIN


def route_picture(
    route: Route,
    voice: Voice,
    *,
    name: str,
    belt: str,
    clockwise: bool,
    before: Route | None = None,
    way: Slot | Arm | None = None,
    width: float = 720,
) -> Picture:
    """The route as a drawing and in words.

    Parameters
    ----------
    route : Route
        As it is, or will be.
    voice : Voice
    name, belt : str
        Of the drive and of the belt.
    clockwise : bool
        Which way the belt goes round as drawn.
    before : Route or None
        As it was found, dotted.
    way : Slot or Arm or None
        Of the movable pulley, dashed.
    width : float
        Of the drawing; its height follows.
    """
    voice = replace(voice, words={**voice.words, **table(WORDS, voice.language)})
    sheet, height = _sheet((route, before), way, width)
    text = "\n".join(_sentences(route, voice, belt=belt, clockwise=clockwise, before=before))
    parts: list[Element] = []
    parts += [_rim(sheet, pulley) for pulley in route.pulleys]
    if before is not None:
        parts += [
            svg.circle(*sheet.at(p.x, p.y), p.rim * sheet.scale, look="dotted") for p in _gone(before, route)
        ]
        parts.append(svg.path(_belt_path(sheet, before), look="dotted"))
    if way is not None:
        parts.append(
            svg.polyline([sheet.at(*way.at(i / WAY_STEPS)) for i in range(WAY_STEPS + 1)], look="dashed")
        )
    parts.append(svg.path(_belt_path(sheet, route), look="heavy"))
    parts += _travel(sheet, route, clockwise)
    for pulley in route.pulleys:
        parts += _turning(sheet, pulley, clockwise)
    swings = [] if way is None else [sheet.at(*way.at(i / WAY_STEPS)) for i in range(WAY_STEPS + 1)]
    parts += _labels(sheet, route, voice, width, height, swings)
    parts += _scale_bar(sheet, voice, height)
    drawing = svg.document(
        *parts,
        width=width,
        height=height,
        title=voice.say("route.title", name=name),
        description=text,
        kind="route",
    )
    return Picture(drawing, text)


def _sheet(routes: tuple[Route | None, ...], way: Slot | Arm | None, width: float) -> tuple[_Sheet, float]:
    pulleys = [p for route in routes if route is not None for p in route.pulleys]
    xs = [p.x + s * max(p.rim, p.radius) for p in pulleys for s in (-1, 1)]
    ys = [p.y + s * max(p.rim, p.radius) for p in pulleys for s in (-1, 1)]
    if way is not None:
        for share in (0.0, 0.5, 1.0):
            x, y = way.at(share)
            xs, ys = [*xs, x], [*ys, y]
    scale = (width - 2 * MARGIN) / (max(xs) - min(xs))
    height = (max(ys) - min(ys)) * scale + 2 * MARGIN + 2 * LINE
    return _Sheet(min(xs), max(ys), scale), height


def _gone(before: Route, after: Route) -> list[Pulley]:
    """Pulleys as they were, where they have changed size or place."""
    return [p for p in before.pulleys if p not in after.pulleys]


def _rim(sheet: _Sheet, pulley: Pulley) -> Element:
    return svg.circle(*sheet.at(pulley.x, pulley.y), pulley.rim * sheet.scale, look="part")


def _belt_path(sheet: _Sheet, route: Route) -> str:
    """The closed line of the belt: straight runs, and an arc round every pulley."""
    words: list[str] = []
    for i, span in enumerate(route.spans):
        place = (i + 1) % len(route.pulleys)
        pulley, wrap = route.pulleys[place], route.wraps[place]
        start, end = sheet.at(*span.start), sheet.at(*span.end)
        turned = sheet.at(*route.spans[place].start)
        radius = svg.number(pulley.radius * sheet.scale)
        large, sweep = (
            int(wrap > math.pi),
            int(pulley.back),
        )  # y is turned over on paper, and the sweep with it
        words.append(f"{'L' if words else 'M'}{svg.number(start[0])} {svg.number(start[1])}")
        words.append(f"L{svg.number(end[0])} {svg.number(end[1])}")
        words.append(f"A{radius} {radius} 0 {large} {sweep} {svg.number(turned[0])} {svg.number(turned[1])}")
    return " ".join(words) + "Z"


def _travel(sheet: _Sheet, route: Route, clockwise: bool) -> Iterator[Element]:
    """An arrow on every run that has room for one."""
    for span in route.spans:
        if span.length * sheet.scale < 3 * HEAD:
            continue
        middle = sheet.at((span.start[0] + span.end[0]) / 2, (span.start[1] + span.end[1]) / 2)
        yield _head(middle, -span.direction + (math.pi if clockwise else 0.0), HEAD * 1.3)


def _turning(sheet: _Sheet, pulley: Pulley, clockwise: bool) -> Iterator[Element]:
    """A part of a circle inside the rim with an arrow's head, and a dot on the shaft."""
    x, y = sheet.at(pulley.x, pulley.y)
    radius = min(pulley.rim * sheet.scale * 0.62, 34.0)
    runs_clockwise = clockwise != pulley.back
    sign = 1 if runs_clockwise else -1  # on paper, where y points down, clockwise is the growing angle
    first, last = math.radians(-150), math.radians(-30)
    if not runs_clockwise:
        first, last = last, first
    a = (x + radius * math.cos(first), y + radius * math.sin(first))
    b = (x + radius * math.cos(last), y + radius * math.sin(last))
    sweep = int(runs_clockwise)
    r = svg.number(radius)
    yield svg.path(
        f"M{svg.number(a[0])} {svg.number(a[1])}A{r} {r} 0 0 {sweep} {svg.number(b[0])} {svg.number(b[1])}",
        look="line",
    )
    yield _head(b, last + sign * math.pi / 2, HEAD)
    yield svg.circle(x, y, 2.5, look="mark")


def _head(at: tuple[float, float], angle: float, size: float) -> Element:
    """An arrow's head with its point ahead of a place on paper."""
    points = []
    for turn, reach in ((0.0, 0.6), (2.5, 0.7), (-2.5, 0.7)):
        points.append(
            (at[0] + size * reach * math.cos(angle + turn), at[1] + size * reach * math.sin(angle + turn))
        )
    return svg.polygon(points)


def _labels(
    sheet: _Sheet, route: Route, voice: Voice, width: float, height: float, swings: list[tuple[float, float]]
) -> Iterator[Element]:
    """Name and size beside each pulley, where they cover least."""
    taken = [*_belt_points(sheet, route), *swings]
    for pulley in route.pulleys:
        x, y = sheet.at(pulley.x, pulley.y)
        r = pulley.rim * sheet.scale
        taken += [
            (x + r * f * math.cos(a), y + r * f * math.sin(a)) for f in (0.0, 0.6, 1.0) for a in range(12)
        ]
    for pulley in route.pulleys:
        lines = (pulley.name, _size(2 * pulley.rim, voice))
        wide = max(svg.text_width(lines[0], 13, bold=True), svg.text_width(lines[1], 13))
        left, top = min(
            _spots(sheet, pulley, wide), key=lambda spot: _covered(spot, wide, taken, width, height)
        )
        taken += [(left + wide * i / 4, top + LINE * j) for i in range(5) for j in range(3)]
        for i, words in enumerate(lines):
            yield svg.label(
                left + wide / 2, top + (i + 0.8) * LINE, words, size=13, anchor="middle", bold=i == 0
            )


def _spots(sheet: _Sheet, pulley: Pulley, wide: float) -> list[tuple[float, float]]:
    """Upper left corners of labels round a rim."""
    x, y = sheet.at(pulley.x, pulley.y)
    spots = []
    for turn in range(16):
        angle = math.pi / 2 + turn * math.pi / 8
        reach = max(pulley.rim, pulley.radius) * sheet.scale + 8
        cx = x + (reach + wide / 2 * abs(math.cos(angle))) * math.cos(angle)
        cy = y + (reach + LINE * abs(math.sin(angle))) * math.sin(angle)
        spots.append((cx - wide / 2, cy - LINE))
    return spots


def _covered(
    spot: tuple[float, float], wide: float, taken: list[tuple[float, float]], width: float, height: float
) -> float:
    """What a label there would cover; off the paper counts most."""
    left, top = spot
    off = left < 2 or top < 2 or left + wide > width - 2 or top + 2 * LINE > height - 2 * LINE
    inside = sum(left - 4 < x < left + wide + 4 and top - 3 < y < top + 2 * LINE + 3 for x, y in taken)
    return inside + (1000 if off else 0)


def _belt_points(sheet: _Sheet, route: Route) -> list[tuple[float, float]]:
    points = []
    for span in route.spans:
        for i in range(41):
            share = i / 40
            x = span.start[0] + share * (span.end[0] - span.start[0])
            y = span.start[1] + share * (span.end[1] - span.start[1])
            points.append(sheet.at(x, y))
    return points


def _scale_bar(sheet: _Sheet, voice: Voice, height: float) -> Iterator[Element]:
    step = 0.1 if voice.length == "mm" else 0.1016
    y = height - 14
    yield svg.line(MARGIN, y, MARGIN + step * sheet.scale, y, look="line")
    for x in (MARGIN, MARGIN + step * sheet.scale):
        yield svg.line(x, y - 5, x, y + 5, look="line")
    words = "100 mm" if voice.length == "mm" else "4 in"
    yield svg.label(MARGIN + step * sheet.scale + 8, y + 5, words, size=13)


def _size(length: float, voice: Voice) -> str:
    digits = 1 if voice.length == "mm" else 3
    return show(length, voice.length, digits=digits, decimal_mark="," if voice.decimal_mark == "," else ".")


def _sentences(
    route: Route, voice: Voice, *, belt: str, clockwise: bool, before: Route | None
) -> Iterator[str]:
    ways = voice.say("route.counter-clockwise"), voice.say("route.clockwise")
    yield voice.say("route.belt", belt=belt, way=ways[clockwise], length=_size(route.length, voice))
    for pulley, wrap in zip(route.pulleys, route.wraps, strict=True):
        said = voice.say(
            "route.pulley",
            name=pulley.name,
            size=_size(2 * pulley.rim, voice),
            way=ways[clockwise != pulley.back],
            wrap=round(math.degrees(wrap)),
        )
        yield f"{said} {voice.say('route.back')}" if pulley.back else said
    if before is not None:
        yield voice.say("route.before", length=_size(before.length, voice))
