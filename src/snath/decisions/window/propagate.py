"""Convert every limit to the equivalent speed of one shaft, for each alternative."""

from dataclasses import replace
from itertools import product

from snath.decisions.machine.condition_words import bladed
from snath.decisions.machine.drivetrain import slip, speed_ratios
from snath.decisions.machine.parts import CRANKSHAFT, Machine
from snath.decisions.window.explain import working
from snath.decisions.window.limits import Limit
from snath.decisions.window.window import Bound
from snath.quantities.measured import quotient, scaled
from snath.quantities.message import Message

SLIPPING, SLIPPING_BEFORE = Message("window.belts-slipping"), Message("window.belts-before-slipping")


def limits_at_shaft(
    machine: Machine,
    limits: tuple[Limit, ...],
    *,
    to: str = CRANKSHAFT,
    explained: bool = True,
) -> tuple[Bound, ...]:
    """Each limit in each alternative as a speed of the shaft `to`; the worst of each limit is marked.

    A ceiling allows no slip on the way down to its member. On the way up from a driven shaft, and for a floor
    on the way down, belts may slip by anything up to what they state: none and all of it are alternatives.
    Without `explained` the arithmetic is not written out.
    """
    bounds: list[Bound] = []
    for limit in limits:
        for ratio, (slipping, share) in product(
            speed_ratios(machine, of=limit.shaft, per=to), _slips(machine, limit, to)
        ):
            speed = scaled(quotient(limit.shaft_speed, ratio.value), share)
            names = (limit.size.name if limit.size else "", ratio.name, slipping)
            bounds.append(
                Bound(
                    member=limit.member,
                    shaft=limit.shaft,
                    rule=limit.rule,
                    side=limit.side,
                    alternative=_seen(tuple(name for name in names if name)),
                    engine=speed,
                    lean=limit.lean / ratio.value.value * share if limit.lean else None,
                    limit=limit.value,
                    kind=limit.kind,
                    ratio=ratio.value.value,
                    working=working(
                        limit,
                        ratio,
                        share,
                        speed.value,
                        to,
                        metric=machine.metric,
                        blades=bladed(machine),
                    )
                    if explained
                    else (),
                    applies_to=limit.applies_to,
                    in_force=limit.in_force,
                    standing=limit.standing,
                )
            )
    return _worst_marked(bounds)


def _seen(names: tuple[Message | str, ...]) -> Message | str:
    return Message("window.seen", names=names) if names else ""


def _slips(machine: Machine, limit: Limit, to: str) -> list[tuple[Message | str, float]]:
    """What slip does to the speed of `to` at which the limit is met: name and factor, none first."""
    down, up = slip(machine, of=limit.shaft, per=to)
    found: list[tuple[Message | str, float]] = [("", 1.0)]
    if limit.side == "floor" and down:
        found.append((SLIPPING, 1 / (1 - down)))
    if up:
        found.append((SLIPPING if limit.side == "ceiling" else SLIPPING_BEFORE, 1 - up))
    return found


def _worst_marked(bounds: list[Bound]) -> tuple[Bound, ...]:
    worst: dict[tuple[str, str, str, str], float] = {}
    for bound in bounds:
        key, speed = same_limit(bound), bound.engine.value
        chosen = min if bound.side == "ceiling" else max
        worst[key] = chosen(worst.get(key, speed), speed)
    return tuple(replace(b, worst=True) if b.engine.value == worst[same_limit(b)] else b for b in bounds)


def same_limit(bound: Bound) -> tuple[str, str, str, str]:
    """What makes two bounds alternatives of one another."""
    return bound.member, bound.rule, bound.side, bound.kind
