"""Say of one limit what one pool proves: cleared, surely broken, or open, over all alternatives."""

import math
from dataclasses import dataclass

from snath.decisions.machine.drivetrain import may_slip
from snath.decisions.machine.parts import CRANKSHAFT, Condition, Machine
from snath.decisions.verdict.conditions import Span, span
from snath.decisions.verdict.pools import Pool
from snath.decisions.verdict.verdict import MemberVerdict, Word
from snath.decisions.window.limits import BLADES, ENGINE, MACHINE
from snath.decisions.window.window import Bound
from snath.formulas.conformity import coverage_factor, effective_dof, probability_over
from snath.quantities.measured import Measured, combine

EPSILON = 1e-12


@dataclass(frozen=True, slots=True)
class Claim:
    """What one pool says of one limit.

    Attributes
    ----------
    pool : Pool
    bound : Bound
        The alternative that counts, as a speed of the pool's shaft.
    least, most : float
        How likely it is beyond, in the mildest and in the worst alternative.
    word : str
        pass, fail or undecided.
    own : bool
        Whether the pool was read in the condition the limit is for.
    width : float
        Guard between the limit and a reading that clears it, as a share: how finely this pool can tell.
    pass_edge, fail_edge : float
        Readings from which the worst alternative is cleared, and the mildest broken. [rev/s]
    under_load : bool
        Whether it is of the work line.
    clears : bool
        Whether this pool could clear the limit at all, at some speed.
    """

    pool: Pool
    bound: Bound
    least: float
    most: float
    word: Word
    own: bool
    width: float
    pass_edge: float
    fail_edge: float
    under_load: bool
    clears: bool


def lines_of(bound: Bound) -> tuple[bool, ...]:
    """Whether it is judged at no load, as what can hurt, or under load, as what the work needs: False, True or both.

    A generator's lowest frequency is both: no appliance may be run under it, loaded or not.
    """
    if bound.side == "ceiling" or bound.member == ENGINE:
        return (False,)
    return (False, True) if bound.kind == "frequency" else (True,)


def wanted_condition(machine: Machine, bound: Bound, *, under_load: bool) -> Condition:
    """In which condition a bound is judged."""
    if bound.applies_to == "peak":
        return "peak"
    if under_load:
        return "cutting"
    if machine.engine.clutch and _turns_with_the_engine(machine, bound):
        return "blades off"
    return "blades in air"


def claim(
    machine: Machine,
    alternatives: list[Bound],
    pool: Pool,
    *,
    under_load: bool,
    risk: float,
    hunts: bool,
    blocked: bool,
) -> Claim:
    """First order: margin between bound and reading, with causes they share taken off once.

    What is only bounded (`Pool.off`, another condition, a hunting engine's swing) is taken at its worse end to
    clear, and at its milder end to condemn.
    """
    first = alternatives[0]
    wanted = wanted_condition(machine, first, under_load=under_load)
    reach = span(machine.engine, read=pool.condition, wanted=wanted, hunts=hunts)
    beyond = [_beyond(bound, pool, reach) for bound in alternatives]
    least, most = min(low for low, _ in beyond), max(high for _, high in beyond)
    word: Word = "undecided"
    clears, condemns = _direction(machine, first, pool)
    if most <= risk + EPSILON and clears and first.in_force and not blocked:
        word = "pass"
    elif least >= 1 - risk - EPSILON and condemns:
        word = "fail"
    edges = [_edges(bound, pool, reach, risk) for bound in alternatives]
    tightest, mildest = (min, max) if first.side == "ceiling" else (max, min)
    pass_edge, fail_edge = tightest(low for low, _ in edges), mildest(high for _, high in edges)
    worst = alternatives[max(range(len(beyond)), key=lambda place: beyond[place][1])]
    furthest = mildest(bound.believed.value for bound in alternatives)
    worse = reach[1] if first.side == "ceiling" else reach[0]
    return Claim(
        pool=pool,
        bound=worst,
        least=least,
        most=most,
        word=word,
        own=pool.condition == wanted,
        width=abs(1 - pass_edge * worse / furthest) if 0 < worse < math.inf else math.inf,
        under_load=under_load,
        clears=clears and first.in_force and math.isfinite(pass_edge),
        pass_edge=pass_edge,
        fail_edge=fail_edge,
    )


def dof_of(value: Measured) -> float:
    """Degrees of freedom that its lines leave it. [1]"""
    return float(effective_dof([(line.u, line.dof) for line in value.lines]))


def _beyond(bound: Bound, pool: Pool, reach: Span) -> tuple[float, float]:
    """Least and most likely beyond one alternative of a bound."""
    spare = pool.off + pool.swing  # a hunting engine is judged at the edge of its swing
    sign = 1 if bound.side == "ceiling" else -1
    worse, milder = (reach[1], reach[0]) if sign > 0 else (reach[0], reach[1])
    mild_spare = pool.swing - pool.off
    return (
        _chance(bound, pool, pool.value.value + sign * mild_spare, milder, sign),
        _chance(bound, pool, pool.value.value + sign * spare, worse, sign),
    )


def _chance(bound: Bound, pool: Pool, edge: float, factor: float, sign: int) -> float:
    if factor in (0.0, math.inf):
        return float((factor > 0) == (sign > 0))
    past = combine(
        sign * (edge * factor - bound.believed.value),
        [(pool.value, sign * factor), (bound.believed, -sign * pool.met_again)],
    )
    return float(probability_over(value=past.value, u=past.u, limit=0.0, dof=dof_of(past)))


def _edges(bound: Bound, pool: Pool, reach: Span, risk: float) -> tuple[float, float]:
    """Readings at which one alternative is just cleared, and just surely broken."""
    sign = 1 if bound.side == "ceiling" else -1
    worse, milder = (reach[1], reach[0]) if sign > 0 else (reach[0], reach[1])

    def at(factor: float, spare: float, side: int) -> float:
        if factor in (0.0, math.inf):
            return -sign * side * math.inf
        past = combine(0.0, [(pool.value, factor), (bound.believed, -pool.met_again)])
        guard: float = coverage_factor(probability=1 - risk, dof=dof_of(past)) * past.u
        return (bound.believed.value - sign * side * guard) / factor - sign * spare

    return at(worse, pool.off + pool.swing, 1), at(milder, pool.swing - pool.off, -1)


def _direction(machine: Machine, bound: Bound, pool: Pool) -> tuple[bool, bool]:
    """Whether a belt of unstated slip on the way lets this pool clear this bound, and condemn it."""
    if not pool.steady:
        return False, False
    up = may_slip(machine, of=bound.shaft, per=pool.shaft)
    if bound.side == "ceiling":
        return not up, True
    down = may_slip(machine, of=pool.shaft, per=bound.shaft)
    return (bound.member == ENGINE or not down), not up


def _turns_with_the_engine(machine: Machine, bound: Bound) -> bool:
    """Whether it turns on when the blades are disengaged: the engine, and what else sits on its crankshaft."""
    disengaged = {MACHINE, *(member.name for member in machine.members if member.kind in BLADES)}
    return bound.member == ENGINE or (bound.shaft == CRANKSHAFT and bound.member not in disengaged)


def decided(claims: list[Claim]) -> Claim:
    """The claim that stands: one that condemns; else one that clears; else the one that can tell best.

    Of the pools of one condition the one that can tell most finely decides, whatever it reads: picking among them
    by what they read would pass more often than promised.
    """
    for one in claims:
        if one.word == "fail":
            return one
    groups: dict[Condition, list[Claim]] = {}
    for one in claims:
        groups.setdefault(one.pool.condition, []).append(one)
    finest = [min(group, key=lambda one: (bool(one.pool.blocks), one.width)) for group in groups.values()]
    for one in finest:
        if one.word == "pass":
            return one
    return min(finest, key=lambda one: (bool(one.pool.blocks), not one.own, one.most))


def member_verdict(one: Claim) -> MemberVerdict:
    """The claim as the result keeps it."""
    bound, value = one.bound, one.pool.value.value
    return MemberVerdict(
        bound.member,
        bound.rule,
        one.word,
        one.least,
        one.most,
        value * bound.ratio,
        bound.limit,
        bound.kind,
        bound.side,
        bound.limit * value / bound.engine.value,  # every kind of limit grows as the speed does
        one.under_load,
    )
