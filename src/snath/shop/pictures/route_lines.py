"""The lines of a route on its plan: rims, the belt, which way it goes and which way each pulley turns."""

import math
from collections.abc import Iterator

from snath.formulas.belts.loop import Pulley, Route
from snath.shop.pictures import svg
from snath.shop.pictures.plan import Plan, Spot
from snath.shop.pictures.svg import Element

HEAD = 9.0  # length of an arrow's head


def rim(plan: Plan, pulley: Pulley, *, look: str = "part") -> Element:
    """The rim of a pulley."""
    return svg.circle(*plan.at(pulley.x, pulley.y), pulley.rim * plan.scale, look=look)


def belt_path(plan: Plan, route: Route) -> str:
    """The closed line of the belt: straight runs, and an arc round every pulley."""
    words: list[str] = []
    for i, span in enumerate(route.spans):
        place = (i + 1) % len(route.pulleys)
        pulley, wrap = route.pulleys[place], route.wraps[place]
        start, end = plan.at(*span.start), plan.at(*span.end)
        turned = plan.at(*route.spans[place].start)
        large, sweep = (
            int(wrap > math.pi),
            int(pulley.back),
        )  # y is turned over on paper, and the sweep with it
        words.append(f"{'L' if words else 'M'}{_pair(start)}")
        words.append(f"L{_pair(end)}")
        words.append(_arc(pulley.radius * plan.scale, large, sweep, turned))
    return " ".join(words) + "Z"


def travel(plan: Plan, route: Route, clockwise: bool) -> Iterator[Element]:
    """An arrow on every run that has room for one."""
    for span in route.spans:
        if span.length * plan.scale < 3 * HEAD:
            continue
        middle = plan.at((span.start[0] + span.end[0]) / 2, (span.start[1] + span.end[1]) / 2)
        yield _head(middle, -span.direction + (math.pi if clockwise else 0.0), HEAD * 1.3)


def turning(plan: Plan, pulley: Pulley, clockwise: bool) -> Iterator[Element]:
    """A part of a circle inside the rim with an arrow's head, and a dot on the shaft."""
    x, y = plan.at(pulley.x, pulley.y)
    radius = min(pulley.rim * plan.scale * 0.62, 34.0)
    runs_clockwise = clockwise != pulley.back
    sign = 1 if runs_clockwise else -1  # on paper, where y points down, clockwise is the growing angle
    first, last = math.radians(-150), math.radians(-30)
    if not runs_clockwise:
        first, last = last, first
    start = (x + radius * math.cos(first), y + radius * math.sin(first))
    end = (x + radius * math.cos(last), y + radius * math.sin(last))
    yield svg.path(f"M{_pair(start)}{_arc(radius, 0, int(runs_clockwise), end)}", look="line")
    yield _head(end, last + sign * math.pi / 2, HEAD)
    yield svg.circle(x, y, 2.5, look="mark")


def _head(at: Spot, angle: float, size: float) -> Element:
    """An arrow's head with its point ahead of a place on paper."""
    corners = ((0.0, 0.6), (2.5, 0.7), (-2.5, 0.7))
    return svg.polygon(
        [
            (at[0] + size * reach * math.cos(angle + turn), at[1] + size * reach * math.sin(angle + turn))
            for turn, reach in corners
        ]
    )


def _pair(spot: Spot) -> str:
    return f"{svg.number(spot[0])} {svg.number(spot[1])}"


def _arc(radius: float, large: int, sweep: int, end: Spot) -> str:
    r = svg.number(radius)
    return f"A{r} {r} 0 {large} {sweep} {_pair(end)}"
