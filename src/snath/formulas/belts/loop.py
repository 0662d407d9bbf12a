"""Lay a belt round pulleys in one plane: where each run leaves and arrives, and how far it wraps.

The belt is followed counter-clockwise as drawn. A pulley inside the loop turns counter-clockwise with it
(sense +1); one that touches the belt's back turns the other way (sense -1). With signed radii
rho = sense x r the span from pulley i to j leaves in the direction
    phi = angle(c_j - c_i) - asin((rho_j - rho_i) / d)
and is sqrt(d^2 - (rho_j - rho_i)^2) long; the wrap is the change of phi, in the pulley's own sense.
"""

import math
from dataclasses import dataclass

Point = tuple[float, float]
TURN = 2 * math.pi


@dataclass(frozen=True, slots=True)
class Pulley:
    """One pulley of a route.

    Attributes
    ----------
    name : str
        As the shop calls it.
    x, y : float
        Its centre in the drawing. [m]
    radius : float
        Of the belt's line round it, see `contact.line_radius`. [m]
    back : bool
        True where the belt's back runs on it: it then turns against the loop.
    body : float
        Radius of its rim, for clearance; 0 takes `radius`. [m]
    """

    name: str
    x: float
    y: float
    radius: float
    back: bool = False
    body: float = 0.0

    @property
    def signed(self) -> float:
        """Radius with the sense of turning. [m]"""
        return -self.radius if self.back else self.radius

    @property
    def rim(self) -> float:
        """The room it takes up. [m]"""
        return self.body or self.radius


@dataclass(frozen=True, slots=True)
class Span:
    """The straight run from one pulley to the next.

    Attributes
    ----------
    start, end : (float, float)
        Where it leaves and where it arrives. [m]
    direction : float
        In which it runs. [rad]
    length : float
        Between the two. [m]
    """

    start: Point
    end: Point
    direction: float
    length: float


@dataclass(frozen=True, slots=True)
class Route:
    """A closed route that can be run.

    Attributes
    ----------
    pulleys : tuple of Pulley
        In the order in which the belt meets them, counter-clockwise round the loop.
    spans : tuple of Span
        `spans[i]` runs from pulley i to the next.
    wraps : tuple of float
        Angle of contact on each pulley. [rad]
    length : float
        Of the belt's line. [m]
    """

    pulleys: tuple[Pulley, ...]
    spans: tuple[Span, ...]
    wraps: tuple[float, ...]
    length: float

    def wrap(self, name: str) -> float:
        """Angle of contact on the pulley of that name. [rad]"""
        return self.wraps[[p.name for p in self.pulleys].index(name)]

    def sense(self, name: str, *, of: str) -> int:
        """+1 where a pulley turns as the pulley `of` does, -1 where it turns against it."""
        back = {p.name: p.back for p in self.pulleys}
        return 1 if back[name] == back[of] else -1


def loop_of(order: tuple[Pulley, ...]) -> tuple[tuple[Span, ...], tuple[float, ...]] | None:
    """Spans and wraps, or None where the belt does not come round exactly once."""
    spans = tuple(span_between(a, b) for a, b in neighbours(order))
    wraps = tuple(wrap_on(p, spans[i - 1], spans[i]) for i, p in enumerate(order))
    turned = math.fsum(-w if p.back else w for p, w in zip(order, wraps, strict=True))
    return (spans, wraps) if math.isclose(turned, TURN, abs_tol=1e-6) else None


def other_way(pulleys: tuple[Pulley, ...]) -> tuple[Pulley, ...]:
    """The same pulleys met in the other direction; the first stays first."""
    return (pulleys[0], *reversed(pulleys[1:]))


def neighbours(pulleys: tuple[Pulley, ...]) -> list[tuple[Pulley, Pulley]]:
    """Each pulley with the one the belt meets next."""
    return list(zip(pulleys, (*pulleys[1:], pulleys[0]), strict=True))


def span_between(a: Pulley, b: Pulley) -> Span:
    """The straight run from one pulley to the next, by the equations above."""
    dx, dy = b.x - a.x, b.y - a.y
    apart, step = math.hypot(dx, dy), b.signed - a.signed
    direction = math.atan2(dy, dx) - math.asin(step / apart)
    nx, ny = math.sin(direction), -math.cos(direction)  # towards the belt, seen from a pulley inside the loop
    start = (a.x + a.signed * nx, a.y + a.signed * ny)
    end = (b.x + b.signed * nx, b.y + b.signed * ny)
    return Span(start, end, direction, math.sqrt(apart**2 - step**2))


def wrap_on(pulley: Pulley, before: Span, after: Span) -> float:
    """Angle of contact between the run that arrives and the one that leaves. [rad]"""
    turned = after.direction - before.direction
    wrap = (-turned if pulley.back else turned) % TURN
    return 0.0 if TURN - wrap < 1e-12 else wrap
