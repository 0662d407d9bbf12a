"""Does this reading prove that the machine is inside its limits, or outside, or neither?

The judged quantity is the sustained no-load top. A reading with the blades off, or of a peak, can only be as
fast or faster, so it can clear that top and cannot condemn it; a reading while cutting can only be as slow or
slower, so it can condemn and cannot clear.
"""

from dataclasses import dataclass, replace

from snath.decisions.machine.parts import CRANKSHAFT, Machine, MakerFigure
from snath.decisions.machine.train import may_slip, ratios
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.reading import Reading
from snath.decisions.verdict.combine import together
from snath.decisions.verdict.settle import settle
from snath.decisions.verdict.verdict import MemberVerdict, Verdict, Word
from snath.decisions.window.carry import carried, same_limit
from snath.decisions.window.limits import ENGINE, Limit
from snath.decisions.window.solve import RISK
from snath.decisions.window.window import Bound
from snath.formulas.conformity import coverage_factor, probability_over, probability_within
from snath.quantities.measured import Measured, combine

EPSILON = 1e-12


@dataclass(frozen=True, slots=True)
class Judged:
    """A bound as a speed of the shaft the reading was taken at, and how likely it is passed."""

    bound: Bound
    p_over: float
    pass_edge: float
    fail_edge: float


def judge(
    machine: Machine,
    limits: tuple[Limit, ...],
    reading: Reading,
    *,
    instrument: Instrument | None,
    decision: str,
    judged_on: str,
) -> Verdict:
    """The verdict on one reading.

    Pass: at most the decision rule's risk of being over, for every member in its worst alternative. Fail: at
    least the complement, for some member in its mildest. Otherwise undecided.
    """
    if reading.value is None:
        return _cannot_tell(reading, decision)
    risk = RISK[decision]
    value = reading.value
    bounds = tuple(
        b for b in carried(machine, limits, to=reading.shaft, explained=False) if _speaks(b, reading)
    )
    judged = [_judged(bound, value, risk, swing=reading.hunting or 0.0) for bound in bounds]
    blocks = tuple(_blocks(reading, instrument, judged_on))
    members = tuple(_member_verdicts(machine, judged, reading, risk, blocked=bool(blocks)))
    maker, maker_reason = _maker_line(machine, reading, risk)
    limits_word = together([member.word for member in members])
    word = _stricter(limits_word, maker)
    ceilings = [j for j in judged if j.bound.side == "ceiling"]
    pass_below = min((j.pass_edge for j in ceilings), default=None)
    verdict = Verdict(
        word=word,
        limits={"pass": "under", "fail": "over"}.get(limits_word, "undecided"),
        maker=maker,
        green=word == "pass" and maker == "in",
        p_over=_p_over(members),
        pass_below=pass_below,
        fail_above=_fail_above(ceilings),
        decision_rule=decision,
        members=members,
        reasons=(*blocks, *_reasons(machine, members, reading), *maker_reason),
    )
    return replace(verdict, settle=settle(verdict, reading, [(j.bound, risk) for j in ceilings]))


def _speaks(bound: Bound, reading: Reading) -> bool:
    """Peak rows are for peak readings; a peak reading is held against both kinds."""
    return bound.applies_to == "sustained" or reading.condition == "peak"


def _judged(bound: Bound, value: Measured, risk: float, *, swing: float) -> Judged:
    """First order: the margin between bound and reading, with causes they share taken off once.

    A hunting engine is judged at the edge of its swing that lies nearer the limit.
    """
    edge = value.value + swing if bound.side == "ceiling" else value.value - swing
    over = combine(edge - bound.engine.value, [(value, 1.0), (bound.engine, -1.0)])
    dof = max(over.dof, 1.0)
    p = probability_over(value=over.value, u=over.u, limit=0.0, dof=dof)
    guard = coverage_factor(probability=1 - risk, dof=dof) * over.u
    return Judged(bound, p, bound.engine.value - guard - swing, bound.engine.value + guard - swing)


def _member_verdicts(
    machine: Machine, judged: list[Judged], reading: Reading, risk: float, *, blocked: bool
) -> list[MemberVerdict]:
    groups: dict[tuple[str, str, str, str], list[Judged]] = {}
    for one in judged:
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
    clutch, engine_bound = machine.engine.clutch, bound.shaft == CRANKSHAFT and bound.member == ENGINE
    condition = reading.condition
    slips = bool(may_slip(machine, of=bound.shaft, per=reading.shaft))
    if bound.side == "floor":
        loaded = condition == "cutting" or bound.member == ENGINE
        return loaded, condition != "peak"
    if condition == "cutting":
        return False, True
    if condition == "peak":
        return not slips, bound.applies_to == "peak"
    if condition == "blades off" and clutch:
        return not slips, engine_bound
    return not slips and not (engine_bound and clutch), True


def _blocks(reading: Reading, instrument: Instrument | None, judged_on: str) -> list[str]:
    """What keeps any reading from being a pass, whatever its figure."""
    found = []
    if not reading.confirmed:
        found.append(f"An indication only: {reading.why}" if reading.why else "An indication only.")
    if reading.hunting is not None:
        found.append("The engine hunts: that is a repair first, and no reading of it is a pass.")
    if instrument is not None and judged_on and (not instrument.due_on or instrument.due_on < judged_on):
        found.append(f"{instrument.name} is overdue for its check.")
    return found


def _maker_line(machine: Machine, reading: Reading, risk: float) -> tuple[str, tuple[str, ...]]:
    """In or out of the maker's figure, where figure and reading speak of the same condition."""
    figure = machine.engine.maker_no_load
    if figure is None:
        return "no figure", ("No maker's figure on the sheet: the setting itself is not known.",)
    if reading.condition != figure.condition:
        return "undecided", (
            f"The maker's figure is for {figure.condition}; this reading is {reading.condition}.",
        )
    inside = [
        _inside(figure, ratio.value, reading) for ratio in ratios(machine, of=CRANKSHAFT, per=reading.shaft)
    ]
    if min(inside) >= 1 - risk - EPSILON:
        return "in", ()
    if max(inside) <= risk + EPSILON:
        return "out", ("The reading lies outside the maker's figure and its tolerance.",)
    return "undecided", ("The reading does not settle whether the maker's figure is met.",)


def _inside(figure: MakerFigure, ratio: Measured, reading: Reading) -> float:
    assert reading.value is not None
    value = reading.value
    speed = value.value * ratio.value
    crank = combine(speed, [(value, ratio.value), (ratio, value.value)])
    inside: float = probability_within(
        value=speed,
        u=crank.u,
        low=figure.rev_s - figure.tolerance,
        high=figure.rev_s + figure.tolerance,
        dof=max(crank.dof, 1.0),
    )
    return inside


def _stricter(limits: Word, maker: str) -> Word:
    if limits == "fail" or maker == "out":
        return "fail"
    return "undecided" if limits == "undecided" or maker == "undecided" else "pass"


def _p_over(members: tuple[MemberVerdict, ...]) -> tuple[float, float] | None:
    ceilings = [m for m in members if m.side == "ceiling"]
    if not ceilings:
        return None
    return max(m.p_least for m in ceilings), max(m.p_most for m in ceilings)


def _fail_above(ceilings: list[Judged]) -> float | None:
    mildest: dict[tuple[str, str, str, str], float] = {}
    for one in ceilings:
        key = same_limit(one.bound)
        mildest[key] = max(mildest.get(key, one.fail_edge), one.fail_edge)
    return min(mildest.values(), default=None)


def _reasons(machine: Machine, members: tuple[MemberVerdict, ...], reading: Reading) -> list[str]:
    found = [
        f"{m.member} is {'over its limit' if m.side == 'ceiling' else 'under the speed it needs'} ({m.rule})."
        for m in members
        if m.word == "fail"
    ]
    shafts = {CRANKSHAFT, *(member.shaft for member in machine.members)}
    slipping = {shaft for of in shafts for shaft in may_slip(machine, of=of, per=reading.shaft)}
    if slipping:
        found.append(
            f"Read behind a belt whose slip is not stated ({', '.join(sorted(slipping))}): it cannot clear "
            "what turns before that belt."
        )
    if reading.condition == "cutting" and any(m.side == "ceiling" for m in members):
        found.append("A loaded reading never passes a ceiling: read again with nothing being cut.")
    return found


def _cannot_tell(reading: Reading, decision: str) -> Verdict:
    return Verdict(
        word="undecided",
        limits="undecided",
        maker="undecided",
        green=False,
        p_over=None,
        pass_below=None,
        fail_above=None,
        decision_rule=decision,
        reasons=(reading.why or "The reading does not settle on one speed.",),
        settle=reading.next_steps,
    )
