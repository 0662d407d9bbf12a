"""Is one member beyond its limit at this reading: surely, surely not, or open?"""

from dataclasses import dataclass

from snath.decisions.machine.parts import CRANKSHAFT, Machine
from snath.decisions.machine.train import may_slip
from snath.decisions.reading.reading import Reading
from snath.decisions.verdict.verdict import MemberVerdict, Word
from snath.decisions.window.carry import same_limit
from snath.decisions.window.limits import BLADES, ENGINE
from snath.decisions.window.window import Bound
from snath.formulas.conformity import coverage_factor, probability_over
from snath.quantities.measured import Measured, combine

EPSILON = 1e-12


@dataclass(frozen=True, slots=True)
class Judged:
    """A bound as a speed of the shaft the reading was taken at, and how likely it is passed."""

    bound: Bound
    p_over: float
    pass_edge: float
    fail_edge: float


def judged(bound: Bound, value: Measured, risk: float, *, swing: float) -> Judged:
    """First order: the margin between bound and reading, with causes they share taken off once.

    A hunting engine is judged at the edge of its swing that lies nearer the limit.
    """
    edge = value.value + swing if bound.side == "ceiling" else value.value - swing
    limit = bound.believed
    over = combine(edge - limit.value, [(value, 1.0), (limit, -1.0)])
    dof = max(over.dof, 1.0)
    p = probability_over(value=over.value, u=over.u, limit=0.0, dof=dof)
    guard = coverage_factor(probability=1 - risk, dof=dof) * over.u
    return Judged(bound, p, limit.value - guard - swing, limit.value + guard - swing)


def member_verdicts(
    machine: Machine, found: list[Judged], reading: Reading, risk: float, *, blocked: bool
) -> list[MemberVerdict]:
    """One verdict for each limit of each member, over all its alternatives."""
    groups: dict[tuple[str, str, str, str], list[Judged]] = {}
    for one in found:
        groups.setdefault(same_limit(one.bound), []).append(one)
    return [_member_verdict(machine, group, reading, risk, blocked=blocked) for group in groups.values()]


def _member_verdict(
    machine: Machine, alternatives: list[Judged], reading: Reading, risk: float, *, blocked: bool
) -> MemberVerdict:
    bound = alternatives[0].bound
    beyond = [j.p_over if bound.side == "ceiling" else 1 - j.p_over for j in alternatives]
    least, most = min(beyond), max(beyond)
    can_pass, can_fail = _direction(machine, bound, reading)
    word: Word = "undecided"
    if most <= risk + EPSILON and can_pass and bound.in_force and not blocked:
        word = "pass"
    elif least >= 1 - risk - EPSILON and can_fail:
        word = "fail"
    value = reading.value.value if reading.value else 0.0
    worst = alternatives[beyond.index(most)].bound
    return MemberVerdict(
        bound.member,
        bound.rule,
        word,
        least,
        most,
        value * worst.ratio,
        bound.limit,
        bound.kind,
        bound.side,
        bound.limit * value / worst.engine.value,  # every kind of limit grows as the speed does
    )


def _direction(machine: Machine, bound: Bound, reading: Reading) -> tuple[bool, bool]:
    """Whether a reading under this condition can clear this bound, and whether it can condemn it."""
    if bound.side == "floor":
        return _floor_direction(machine, bound, reading)
    clutch, with_engine = machine.engine.clutch, _turns_with_the_engine(machine, bound)
    condition = reading.condition
    if reading.unsteady:
        return False, False
    slips = bool(may_slip(machine, of=bound.shaft, per=reading.shaft))
    if condition == "cutting":
        return False, True
    if condition == "peak":
        return not slips, bound.applies_to == "peak"
    if condition == "blades off" and clutch:
        return not slips, with_engine
    return not slips and not (with_engine and clutch), True


def _turns_with_the_engine(machine: Machine, bound: Bound) -> bool:
    """Whether it turns on when the blades are disengaged: the engine, and what else sits on its crankshaft."""
    disengaged = {member.name for member in machine.members if member.kind in BLADES}
    return bound.member == ENGINE or (bound.shaft == CRANKSHAFT and bound.member not in disengaged)


def _floor_direction(machine: Machine, bound: Bound, reading: Reading) -> tuple[bool, bool]:
    """The same for a floor: a belt of unstated slip may make the member slower, or what drives it faster.

    The engine's own floor is a no-load figure: drag and load explain a speed under it.
    """
    condition = reading.condition
    if reading.unsteady:
        return False, False
    up = may_slip(machine, of=bound.shaft, per=reading.shaft)
    down = may_slip(machine, of=reading.shaft, per=bound.shaft)
    if bound.member == ENGINE:
        unloaded = condition == "blades off" or (condition == "blades in air" and not machine.engine.clutch)
        return condition != "peak", unloaded and not up
    return condition == "cutting" and not down, condition != "peak" and not up


def chances_over(members: tuple[MemberVerdict, ...]) -> tuple[float, float] | None:
    """Least and most likely over, of the member that is most so; None where there is no ceiling."""
    ceilings = [m for m in members if m.side == "ceiling"]
    if not ceilings:
        return None
    return max(m.p_least for m in ceilings), max(m.p_most for m in ceilings)


def fails_above(ceilings: list[Judged]) -> float | None:
    """The reading from which even the mildest alternative of some member is over. [rev/s]"""
    mildest: dict[tuple[str, str, str, str], float] = {}
    for one in ceilings:
        key = same_limit(one.bound)
        mildest[key] = max(mildest.get(key, one.fail_edge), one.fail_edge)
    return min(mildest.values(), default=None)
