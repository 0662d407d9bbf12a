"""Every limit carried back to one shaft: at what speed there is it met, in each alternative?"""

from dataclasses import replace

from snath.decisions.machine.parts import CRANKSHAFT, Machine
from snath.decisions.machine.train import ratios, slip
from snath.decisions.window.explain import working
from snath.decisions.window.limits import Limit
from snath.decisions.window.window import Bound
from snath.quantities.measured import quotient, scaled
from snath.quantities.numbers import DecimalMark


def carried(
    machine: Machine,
    limits: tuple[Limit, ...],
    *,
    to: str = CRANKSHAFT,
    decimal_mark: DecimalMark = ".",
    explained: bool = True,
) -> tuple[Bound, ...]:
    """Each limit in each alternative as a speed of the shaft `to`; the worst of each limit is marked.

    A ceiling allows no slip on the way down to its member; on the way up from a driven shaft the stated slip
    is taken off, because the crankshaft then runs faster than that shaft shows. A floor is for the loaded
    machine, with the slip its couplings state. Without `explained` the arithmetic is not written out.
    """
    bounds: list[Bound] = []
    for limit in limits:
        slip_down, slip_up = slip(machine, of=limit.shaft, per=to)
        share = 1 / (1 - slip_down) if limit.side == "floor" else 1 - slip_up
        for ratio in ratios(machine, of=limit.shaft, per=to):
            speed = scaled(quotient(limit.shaft_speed, ratio.value), share)
            names = [limit.size.name] if limit.size else []
            bounds.append(
                Bound(
                    member=limit.member,
                    shaft=limit.shaft,
                    rule=limit.rule,
                    side=limit.side,
                    alternative=", ".join([*names, ratio.name] if ratio.name else names),
                    engine=speed,
                    limit=limit.value,
                    kind=limit.kind,
                    ratio=ratio.value.value,
                    working=working(limit, ratio, share, speed.value, to, decimal_mark) if explained else (),
                    applies_to=limit.applies_to,
                    in_force=limit.in_force,
                    standing=limit.standing,
                )
            )
    return _worst_marked(bounds)


def _worst_marked(bounds: list[Bound]) -> tuple[Bound, ...]:
    worst: dict[tuple[str, str, str, str], float] = {}
    for bound in bounds:
        key, speed = same_limit(bound), bound.engine.value
        chosen = min if bound.side == "ceiling" else max
        worst[key] = chosen(worst.get(key, speed), speed)
    return tuple(replace(b, worst=b.engine.value == worst[same_limit(b)]) for b in bounds)


def same_limit(bound: Bound) -> tuple[str, str, str, str]:
    """What makes two bounds alternatives of one another."""
    return bound.member, bound.rule, bound.side, bound.kind
