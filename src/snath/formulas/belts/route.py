"""Any number of sheaves and idlers in one plane: how does the belt run, how long is it, where does it fail?

The belt is followed counter-clockwise as drawn. A pulley inside the loop turns counter-clockwise with it
(sense +1); one that touches the belt's back turns the other way (sense -1). With signed radii
rho = sense x r the span from pulley i to j leaves in the direction
    phi = angle(c_j - c_i) - asin((rho_j - rho_i) / d)
and is sqrt(d^2 - (rho_j - rho_i)^2) long; the wrap is the change of phi, in the pulley's own sense.
"""

import math
from dataclasses import dataclass

from snath.quantities.errors import InputError

Point = tuple[float, float]
TURN = 2 * math.pi
CONTACT_NEEDED = 1e-6  # rad; less than this is a belt that passes without touching


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


def lay(pulleys: tuple[Pulley, ...], *, clockwise: bool = False) -> Route:
    """Lay a belt round pulleys in the order in which it meets them.

    The same order run the other way is another route: an idler between two sheaves then sits on the other
    strand. So the way the belt goes round, as drawn, is asked for and never guessed.

    Parameters
    ----------
    pulleys : tuple of Pulley
        At least two, in the order in which the belt meets them on its way. [m]
    clockwise : bool
        Whether the belt goes round clockwise as drawn.

    Returns
    -------
    Route
        With pulleys turned into counter-clockwise order; the first stays first.

    Raises
    ------
    InputError
        If names repeat, pulleys touch, the belt misses one, crosses itself or runs into one.
    """
    _refuse_unusable(pulleys)
    order = _reversed(pulleys) if clockwise else pulleys
    loop = _loop(order)
    if loop is None:
        raise _no_loop(order)
    spans, wraps = loop
    _refuse_no_contact(order, wraps)
    _refuse_crossing(order, spans)
    arcs = math.fsum(p.radius * w for p, w in zip(order, wraps, strict=True))
    return Route(order, spans, wraps, math.fsum(s.length for s in spans) + arcs)


def _loop(order: tuple[Pulley, ...]) -> tuple[tuple[Span, ...], tuple[float, ...]] | None:
    """Spans and wraps, or None where the belt does not come round exactly once."""
    spans = tuple(_span(a, b) for a, b in _neighbours(order))
    wraps = tuple(_wrap(p, spans[i - 1], spans[i]) for i, p in enumerate(order))
    turned = math.fsum(-w if p.back else w for p, w in zip(order, wraps, strict=True))
    return (spans, wraps) if math.isclose(turned, TURN, abs_tol=1e-6) else None


def _reversed(pulleys: tuple[Pulley, ...]) -> tuple[Pulley, ...]:
    return (pulleys[0], *reversed(pulleys[1:]))


def _neighbours(pulleys: tuple[Pulley, ...]) -> list[tuple[Pulley, Pulley]]:
    return list(zip(pulleys, (*pulleys[1:], pulleys[0]), strict=True))


def _span(a: Pulley, b: Pulley) -> Span:
    dx, dy = b.x - a.x, b.y - a.y
    apart, step = math.hypot(dx, dy), b.signed - a.signed
    direction = math.atan2(dy, dx) - math.asin(step / apart)
    nx, ny = math.sin(direction), -math.cos(direction)  # towards the belt, seen from a pulley inside the loop
    start = (a.x + a.signed * nx, a.y + a.signed * ny)
    end = (b.x + b.signed * nx, b.y + b.signed * ny)
    return Span(start, end, direction, math.sqrt(apart**2 - step**2))


def _wrap(pulley: Pulley, before: Span, after: Span) -> float:
    turned = after.direction - before.direction
    wrap = (-turned if pulley.back else turned) % TURN
    return 0.0 if TURN - wrap < 1e-12 else wrap


def _refuse_unusable(pulleys: tuple[Pulley, ...]) -> None:
    if len(pulleys) < 2:
        raise InputError("pulleys", len(pulleys), "a belt needs at least two")
    names = [p.name for p in pulleys]
    for name in names:
        if names.count(name) > 1:
            raise InputError("pulleys", name, "each needs a name of its own; this one stands twice")
    if sum(not p.back for p in pulleys) < 2:
        raise InputError("pulleys", "too few inside", "at least two must be inside the belt")
    for i, a in enumerate(pulleys):
        for b in pulleys[i + 1 :]:
            apart, needed = math.hypot(a.x - b.x, a.y - b.y), a.rim + b.rim
            if apart <= max(needed, abs(b.signed - a.signed)):
                raise InputError(
                    f"{a.name} and {b.name}",
                    f"{apart * 1000:.1f} mm apart",
                    f"the pulleys touch: their centres must be over {needed * 1000:.1f} mm apart",
                )


def _no_loop(order: tuple[Pulley, ...]) -> InputError:
    """What to put right: the direction, the order, or a pulley the belt misses."""
    names = ", ".join(p.name for p in order)
    if _runs(_reversed(order)):
        hint = "the belt only fits the other way round: check which way it runs"
        return InputError("order of pulleys", names, hint)
    missed = _missed(order)
    if missed is None:
        hint = "the belt would cross itself: list them as the belt meets them, and say which run on its back"
        return InputError("order of pulleys", names, hint)
    side = "with its back" if missed.back else "from inside"
    place = f"centre {missed.x * 1000:.0f}, {missed.y * 1000:.0f} mm"
    return InputError(missed.name, place, f"the belt does not touch it {side}")


def _missed(order: tuple[Pulley, ...]) -> Pulley | None:
    """The pulley without which the belt runs, and with which it runs at no place of the order."""
    spans = tuple(_span(a, b) for a, b in _neighbours(order))
    turns = {p.name: _wrap(p, spans[i - 1], spans[i]) for i, p in enumerate(order)}
    for missed in sorted(order, key=lambda p: -turns[p.name]):  # turned backwards, it seems to go right round
        rest = tuple(p for p in order if p is not missed)
        places = [(*rest[:i], missed, *rest[i:]) for i in range(1, len(order))]
        if sum(not p.back for p in rest) >= 2 and _runs(rest) and not any(map(_runs, places)):
            return missed
    return None


def _runs(order: tuple[Pulley, ...]) -> bool:
    loop = _loop(order)
    if loop is None:
        return False
    try:
        _refuse_crossing(order, loop[0])
    except InputError:
        return False
    return True


def _refuse_no_contact(pulleys: tuple[Pulley, ...], wraps: tuple[float, ...]) -> None:
    for pulley, wrap in zip(pulleys, wraps, strict=True):
        if wrap < CONTACT_NEEDED:
            raise InputError(pulley.name, "no wrap", "the belt runs past it without touching")


def _refuse_crossing(pulleys: tuple[Pulley, ...], spans: tuple[Span, ...]) -> None:
    for i, one in enumerate(spans):
        ends = {pulleys[i].name, pulleys[(i + 1) % len(pulleys)].name}
        for pulley in pulleys:
            if pulley.name not in ends and _distance(one, pulley) < pulley.rim:
                raise InputError(
                    pulley.name,
                    f"{_distance(one, pulley) * 1000:.1f} mm from the belt's straight run",
                    f"the belt between {' and '.join(sorted(ends))} runs into it",
                )
        for other in spans[i + 1 :]:
            if _cross(one, other):
                raise InputError(
                    "order of pulleys", ", ".join(p.name for p in pulleys), "the belt would cross itself"
                )


def _distance(span: Span, pulley: Pulley) -> float:
    ux, uy = math.cos(span.direction), math.sin(span.direction)
    along = (pulley.x - span.start[0]) * ux + (pulley.y - span.start[1]) * uy
    along = min(max(along, 0.0), span.length)
    return math.hypot(span.start[0] + along * ux - pulley.x, span.start[1] + along * uy - pulley.y)


def _cross(one: Span, other: Span) -> bool:
    def side(span: Span, point: Point) -> float:
        (ax, ay), (bx, by) = span.start, span.end
        return (bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax)

    return (
        side(one, other.start) * side(one, other.end) < 0
        and side(other, one.start) * side(other, one.end) < 0
    )
