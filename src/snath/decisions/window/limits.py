"""Collect the limits that hold on a machine, each at the speed of its member's own shaft."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from snath.decisions.machine.parts import CRANKSHAFT, Machine, Member, Size
from snath.decisions.machine.rows import rows_for
from snath.formulas.blades import rotation_at_tip_speed
from snath.formulas.governor.alternator import alternator_speed
from snath.quantities.measured import Measured, combine, exact
from snath.rules.book import Rule
from snath.rules.kinds import TIPPED

ENGINE = "engine"
ENGINE_MAKER = "engine maker"
MARKED = "marked on the part"
MACHINE, MACHINE_MAKER = "machine", "machine maker"
BLADES = TIPPED  # what a tip-speed row is about


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit of one member, in one of the member's sizes.

    Attributes
    ----------
    member, shaft, rule : str
        Whose, where, and by which row or marking.
    kind : str
        "surface speed", "shaft speed" or "frequency".
    side : str
        "ceiling" or "floor".
    value : float
        As the row states it. [m/s], [rev/s] or [Hz]
    shaft_speed : Measured
        Speed of the member's shaft at which it is met. [rev/s]
    size : Size or None
        The diameter it was worked out with.
    lean : float
        How far over `shaft_speed` the speed at which it is met is believed to lie, at most 0: twice the larger of
        two measured arms is longer than it measures. [rev/s]
    printed, standing, applies_to, in_force
        As in `Rule`.
    """

    member: str
    shaft: str
    rule: str
    kind: str
    side: str
    value: float
    shaft_speed: Measured
    size: Size | None = None
    poles: int | None = None
    printed: str = ""
    standing: str = "read"
    applies_to: str = "sustained"
    in_force: bool = True
    lean: float = 0.0


def limits_of(machine: Machine, rules: tuple[Rule, ...], *, market: str, only: str = "") -> tuple[Limit, ...]:
    """Every limit that holds: the engine maker's range, what is marked on parts, and the rule book's rows.

    `only` names the surface-speed row that was chosen, for every member it speaks of, in place of those in
    scope; it may be a historical one.
    """
    found = list(_engine_limits(machine))
    for member in machine.members:
        found += _marked_limits(member)
        for rule in _rows(machine, member, rules, market, only):
            found += _rule_limits(member, rule)
    return tuple(found)


def unlimited(machine: Machine, limits: tuple[Limit, ...]) -> tuple[str, ...]:
    """Names of the parts that no sustained ceiling speaks of and that the sheet does not state to have none."""
    capped = {limit.member for limit in limits if limit.side == "ceiling" and limit.applies_to == "sustained"}
    return tuple(m.name for m in machine.members if not m.unlimited and m.name not in capped)


def at_surface_speed(speed: float, size: Size) -> Measured:
    """Shaft speed at which a part of this diameter has this surface speed, n = v / (pi D). [rev/s]"""
    diameter = size.diameter
    rotation = float(rotation_at_tip_speed(speed=speed, diameter=diameter.value))
    return combine(rotation, [(diameter, -rotation / diameter.value)])


def at_frequency(frequency: float, poles: int) -> Measured:
    """Shaft speed of an alternator at a frequency, n = 2 f / p. [rev/s]"""
    return exact(float(alternator_speed(frequency=frequency, poles=poles)))


def _rows(
    machine: Machine, member: Member, rules: tuple[Rule, ...], market: str, only: str
) -> tuple[Rule, ...]:
    rows = rows_for(machine, member.kind, rules, market=market, marked_class=member.marked_class)
    chosen = chosen_row(machine, member, rules, market, only)
    return (*(rule for rule in rows if rule.kind != "surface speed"), *chosen) if chosen else rows


def chosen_row(
    machine: Machine, member: Member, rules: tuple[Rule, ...], market: str, only: str
) -> tuple[Rule, ...]:
    """The row that was chosen by hand, where it speaks of this member; it may be a historical one."""
    asked = rows_for(
        machine, member.kind, rules, market=market, marked_class=member.marked_class, explaining=True
    )
    return tuple(rule for rule in asked if only and rule.id == only)


def _engine_limits(machine: Machine) -> Iterator[Limit]:
    engine = machine.engine
    for side, speed in (("ceiling", engine.rated_max), ("floor", engine.rated_min)):
        if speed is not None:
            yield Limit(ENGINE, CRANKSHAFT, ENGINE_MAKER, "shaft speed", side, speed, exact(speed))
    if engine.maker_most is not None:
        most = engine.maker_most.rev_s
        of = ENGINE if engine.maker_most.condition == "blades off" else MACHINE  # which turns with the blades
        yield Limit(of, CRANKSHAFT, MACHINE_MAKER, "shaft speed", "ceiling", most, exact(most))


def _marked_limits(member: Member) -> Iterator[Limit]:
    for side, speed in (("ceiling", member.speed_max), ("floor", member.speed_min)):
        if speed is not None:
            yield _marked(member, "shaft speed", side, speed)
    if member.surface_max is not None:
        yield from _in_each_size(_marked(member, "surface speed", "ceiling", member.surface_max), member)
    for side, band in (("ceiling", member.frequency_max), ("floor", member.frequency_min)):
        if band is not None:
            yield from _by_poles(_marked(member, "frequency", side, band), member)


def _marked(member: Member, kind: str, side: str, value: float) -> Limit:
    return Limit(member.name, member.shaft, MARKED, kind, side, value, exact(value))


def _rule_limits(member: Member, rule: Rule) -> Iterator[Limit]:
    for side, value in (("ceiling", rule.at_most), ("floor", rule.at_least)):
        if value is None:
            continue
        limit = Limit(
            member.name,
            member.shaft,
            rule.id,
            rule.kind,
            side,
            value,
            exact(value),
            printed=rule.printed,
            standing=rule.standing,
            applies_to=rule.applies_to,
            in_force=rule.in_force,
        )
        if rule.kind == "surface speed" and side == "ceiling":
            yield from _in_each_size(limit, member)
        elif rule.kind == "shaft speed":
            yield limit
        elif rule.kind == "frequency":
            yield from _by_poles(limit, member)


def _in_each_size(limit: Limit, member: Member) -> Iterator[Limit]:
    """A surface speed as the shaft speed of each size the member may have."""
    for size in member.sizes:
        speed = at_surface_speed(limit.value, size)
        lean = -speed.value * size.longer / (size.diameter.value + size.longer)
        yield replace(limit, shaft_speed=speed, size=size, lean=lean)


def _by_poles(limit: Limit, member: Member) -> Iterator[Limit]:
    """A frequency as the alternator's shaft speed; an inverter's says nothing of it."""
    if member.poles is not None and not member.inverter:
        yield replace(limit, shaft_speed=at_frequency(limit.value, member.poles), poles=member.poles)
