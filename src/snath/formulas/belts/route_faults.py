"""Say why a belt cannot run round these pulleys, and what would put it right."""

import math

from snath.formulas.belts.loop import (
    Point,
    Pulley,
    Span,
    loop_of,
    neighbours,
    other_way,
    span_between,
    wrap_on,
)
from snath.quantities.errors import InputError
from snath.quantities.message import Amount, Message

CONTACT_NEEDED = 1e-6  # rad; less than this is a belt that passes without touching


def refuse_unusable(pulleys: tuple[Pulley, ...]) -> None:
    """Refuse pulleys no belt can run round in any order: too few, of one name, touching."""
    if len(pulleys) < 2:
        raise InputError("pulleys", len(pulleys), Message("belt.two-pulleys"))
    names = [p.name for p in pulleys]
    for name in names:
        if names.count(name) > 1:
            raise InputError("pulleys", name, Message("belt.name-twice"))
    if sum(not p.back for p in pulleys) < 2:
        raise InputError("pulleys", Message("belt.too-few-inside"), Message("belt.two-inside"))
    for i, a in enumerate(pulleys):
        for b in pulleys[i + 1 :]:
            apart, needed = math.hypot(a.x - b.x, a.y - b.y), a.rim + b.rim
            if apart <= max(needed, abs(b.signed - a.signed)):
                raise InputError(
                    f"{a.name} and {b.name}",
                    Message("belt.apart", apart=Amount(apart, "length")),
                    Message("belt.pulleys-touch", least=Amount(needed, "length")),
                )


def no_loop(order: tuple[Pulley, ...]) -> InputError:
    """What to put right: the direction, the order, or a pulley the belt misses."""
    names = ", ".join(p.name for p in order)
    if _runs(other_way(order)):
        hint = Message("belt.other-way")
        return InputError("order of pulleys", names, hint)
    missed = _missed(order)
    if missed is None:
        hint = Message("belt.crosses-in-order")
        return InputError("order of pulleys", names, hint)
    place = Message("belt.centre", x=Amount(missed.x, "length"), y=Amount(missed.y, "length"))
    side = Message("belt.missed-by-back") if missed.back else Message("belt.missed-from-inside")
    return InputError(missed.name, place, side)


def _missed(order: tuple[Pulley, ...]) -> Pulley | None:
    """The pulley without which the belt runs, and with which it runs at no place of the order."""
    spans = tuple(span_between(a, b) for a, b in neighbours(order))
    turns = {p.name: wrap_on(p, spans[i - 1], spans[i]) for i, p in enumerate(order)}
    for missed in sorted(order, key=lambda p: -turns[p.name]):  # turned backwards, it seems to go right round
        rest = tuple(p for p in order if p is not missed)
        places = [(*rest[:i], missed, *rest[i:]) for i in range(1, len(order))]
        if sum(not p.back for p in rest) >= 2 and _runs(rest) and not any(map(_runs, places)):
            return missed
    return None


def _runs(order: tuple[Pulley, ...]) -> bool:
    loop = loop_of(order)
    if loop is None:
        return False
    try:
        refuse_crossing(order, loop[0])
    except InputError:
        return False
    return True


def refuse_no_contact(pulleys: tuple[Pulley, ...], wraps: tuple[float, ...]) -> None:
    """Refuse a belt that passes a pulley by."""
    for pulley, wrap in zip(pulleys, wraps, strict=True):
        if wrap < CONTACT_NEEDED:
            raise InputError(pulley.name, Message("belt.no-wrap"), Message("belt.runs-past"))


def refuse_crossing(pulleys: tuple[Pulley, ...], spans: tuple[Span, ...]) -> None:
    """Refuse a belt that crosses itself or runs into a pulley between two others."""
    for i, one in enumerate(spans):
        ends = {pulleys[i].name, pulleys[(i + 1) % len(pulleys)].name}
        for pulley in pulleys:
            if pulley.name not in ends and _distance(one, pulley) < pulley.rim:
                raise InputError(
                    pulley.name,
                    Message("belt.beside-run", distance=Amount(_distance(one, pulley), "length")),
                    Message("belt.runs-into", first=min(ends), last=max(ends)),
                )
        for other in spans[i + 1 :]:
            if _cross(one, other):
                raise InputError(
                    "order of pulleys", ", ".join(p.name for p in pulleys), Message("belt.crosses")
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
