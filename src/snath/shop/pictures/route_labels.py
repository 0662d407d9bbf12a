"""Place name and size beside each pulley of a route, where the words cover least."""

import math
from collections.abc import Iterator
from functools import partial

from snath.formulas.belts.loop import Pulley, Route
from snath.shop.pictures import svg
from snath.shop.pictures.lettering import text_width
from snath.shop.pictures.plan import LINE, Plan, Spot
from snath.shop.pictures.svg import Element


def labels(plan: Plan, route: Route, sizes: dict[str, str], swings: list[Spot]) -> Iterator[Element]:
    """Name and size of each pulley; `swings` are places the movable one may come to, to be kept free too."""
    taken = [*_belt_points(plan, route), *swings, *_rim_points(plan, route)]
    for pulley in route.pulleys:
        lines = (pulley.name, sizes[pulley.name])
        wide = max(text_width(lines[0], 13, bold=True), text_width(lines[1], 13))
        left, top = min(_spots(plan, pulley, wide), key=partial(_covered, plan, wide, taken))
        taken += [(left + wide * i / 4, top + LINE * j) for i in range(5) for j in range(3)]
        for i, words in enumerate(lines):
            y = top + (i + 0.8) * LINE
            yield svg.label(left + wide / 2, y, words, size=13, anchor="middle", bold=i == 0)


def _spots(plan: Plan, pulley: Pulley, wide: float) -> list[Spot]:
    """Upper left corners of labels round a rim."""
    x, y = plan.at(pulley.x, pulley.y)
    spots = []
    for turn in range(16):
        angle = math.pi / 2 + turn * math.pi / 8
        reach = max(pulley.rim, pulley.radius) * plan.scale + 8
        cx = x + (reach + wide / 2 * abs(math.cos(angle))) * math.cos(angle)
        cy = y + (reach + LINE * abs(math.sin(angle))) * math.sin(angle)
        spots.append((cx - wide / 2, cy - LINE))
    return spots


def _covered(plan: Plan, wide: float, taken: list[Spot], spot: Spot) -> float:
    """What a label there would cover; off the paper counts most."""
    left, top = spot
    off = left < 2 or top < 2 or left + wide > plan.width - 2 or top + 4 * LINE > plan.height
    inside = sum(left - 4 < x < left + wide + 4 and top - 3 < y < top + 2 * LINE + 3 for x, y in taken)
    return inside + (1000 if off else 0)


def _rim_points(plan: Plan, route: Route) -> Iterator[Spot]:
    """Places on every pulley: its shaft, its face, its rim."""
    for pulley in route.pulleys:
        x, y = plan.at(pulley.x, pulley.y)
        for reach in (0.0, 0.6, 1.0):
            radius = pulley.rim * plan.scale * reach
            yield from ((x + radius * math.cos(a), y + radius * math.sin(a)) for a in range(12))


def _belt_points(plan: Plan, route: Route) -> list[Spot]:
    """Places along every run."""
    points = []
    for span in route.spans:
        for i in range(41):
            share = i / 40
            x = span.start[0] + share * (span.end[0] - span.start[0])
            y = span.start[1] + share * (span.end[1] - span.start[1])
            points.append(plan.at(x, y))
    return points
