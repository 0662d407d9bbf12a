"""The belt's route to scale: every pulley, which way it turns, where the belt runs, before and after."""

import math
from collections.abc import Iterator
from dataclasses import replace

from snath.formulas.belts.loop import Pulley, Route
from snath.formulas.belts.ways import Arm, Slot
from snath.quantities.units import show
from snath.shop.pictures import svg
from snath.shop.pictures.picture import Picture
from snath.shop.pictures.plan import MARGIN, Plan, plan_of, way_on
from snath.shop.pictures.route_labels import labels
from snath.shop.pictures.route_lines import belt_path, rim, travel, turning
from snath.shop.pictures.svg import Element
from snath.shop.pictures.voice import Voice
from snath.words.tables import shown

WORDS = "routes"


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
    voice = replace(voice, words={**voice.words, **shown(WORDS, voice.language)})
    plan = plan_of((route,) if before is None else (route, before), way, width=width)
    text = "\n".join(_sentences(route, voice, belt=belt, clockwise=clockwise, before=before))
    drawing = svg.document(
        *_lines(plan, route, clockwise, before, way),
        *labels(plan, route, {p.name: _size(2 * p.rim, voice) for p in route.pulleys}, way_on(plan, way)),
        *_scale_bar(plan, voice),
        width=width,
        height=plan.height,
        title=voice.say("route.title", name=name),
        description=text,
        kind="route",
    )
    return Picture(drawing, text)


def _lines(
    plan: Plan, route: Route, clockwise: bool, before: Route | None, way: Slot | Arm | None
) -> Iterator[Element]:
    """Everything but words, what matters most last and so on top."""
    yield from (rim(plan, pulley) for pulley in route.pulleys)
    if before is not None:
        for pulley in _gone(before, route):
            yield rim(plan, pulley, look="dotted")
        yield svg.path(belt_path(plan, before), look="dotted")
    if way is not None:
        yield svg.polyline(way_on(plan, way), look="dashed")
    yield svg.path(belt_path(plan, route), look="heavy")
    yield from travel(plan, route, clockwise)
    for pulley in route.pulleys:
        yield from turning(plan, pulley, clockwise)


def _gone(before: Route, after: Route) -> list[Pulley]:
    """Pulleys as they were, where they have changed size or place."""
    return [p for p in before.pulleys if p not in after.pulleys]


def _scale_bar(plan: Plan, voice: Voice) -> Iterator[Element]:
    step = 0.1 if voice.length == "mm" else 0.1016
    y = plan.height - 14
    yield svg.line(MARGIN, y, MARGIN + step * plan.scale, y, look="line")
    for x in (MARGIN, MARGIN + step * plan.scale):
        yield svg.line(x, y - 5, x, y + 5, look="line")
    words = "100 mm" if voice.length == "mm" else "4 in"
    yield svg.label(MARGIN + step * plan.scale + 8, y + 5, words, size=13)


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
