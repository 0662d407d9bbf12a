"""Judge the readings of one setting: readings to pools, pools to claims of each limit, claims to three lines, one word.

The judged quantity is the sustained no-load top, at the upper edge of any hunting. What each pool says of another
condition than its own is in `conditions`, what it proves of a limit in `claims`.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from snath.decisions.machine.condition_words import bladed
from snath.decisions.machine.drivetrain import may_slip
from snath.decisions.machine.parts import CRANKSHAFT, Machine
from snath.decisions.reading.reading import Reading
from snath.decisions.verdict.agreement import contradictions
from snath.decisions.verdict.claims import Claim, claim, decided, lines_of, member_verdict
from snath.decisions.verdict.maker import maker_line
from snath.decisions.verdict.pools import Pool, Tools, pools
from snath.decisions.verdict.settle import settle
from snath.decisions.verdict.verdict import MemberVerdict, Verdict, Word, together
from snath.decisions.window.limits import Limit, unlimited
from snath.decisions.window.propagate import limits_at_shaft, same_limit
from snath.decisions.window.solve import RISK
from snath.decisions.window.window import Bound
from snath.quantities.message import Amount, Message

SIDES = {"pass": "under", "fail": "over", "undecided": "undecided"}
NOTHING_KNOWN = Tools()
WORK = {"pass": "enough", "fail": "missed", "undecided": "open"}


def judge(
    machine: Machine,
    limits: tuple[Limit, ...],
    readings: Sequence[Reading],
    *,
    tools: Tools = NOTHING_KNOWN,
    decision: str,
    rise: float = 0.0,
    hunts: bool = False,
) -> Verdict:
    """The verdict on the readings of one setting.

    Parameters
    ----------
    machine, limits
        As it stood when it was read.
    readings : sequence of Reading
        Of one setting, none withdrawn; at least one.
    tools : Tools
        What they were taken with.
    decision : str
        As in `Job`.
    rise : float
        What a track of the governor at no load shows the speed to go above its mean, hunting or lively. [rev/s]
    hunts : bool
        Whether that track shows hunting: then nothing passes.
    """
    case = case_of(machine, limits, readings, tools=tools, decision=decision, rise=rise, hunts=hunts)
    if not case.pools:
        return _cannot_tell(readings[-1], machine, decision)
    return _verdict(case, [decided(group) for group in claims_of(case)], decision)


def case_of(
    machine: Machine,
    limits: tuple[Limit, ...],
    readings: Sequence[Reading],
    *,
    tools: Tools,
    decision: str,
    rise: float = 0.0,
    hunts: bool = False,
    looked: bool = False,
) -> "Case":
    """The readings in their pools, beside what they are held against; `looked` as in `pools`."""
    here = [one for one in readings if one.shaft in machine.shafts]
    found = pools(machine, here, tools, swing=rise, looked=looked)
    hunts = hunts or any(one.hunting is not None for one in here)
    return Case(machine, limits, found, RISK[decision], hunts)


@dataclass(frozen=True, slots=True)
class Case:
    """What is judged: everything but the answer."""

    machine: Machine
    limits: tuple[Limit, ...]
    pools: tuple[Pool, ...]
    risk: float
    hunts: bool

    @property
    def blocks(self) -> tuple[Message, ...]:
        """Why nothing at all is a pass: it hunts, its readings contradict each other, something has no limit."""
        found = [Message("verdict.hunts")] if self.hunts else []
        return (
            *found,
            *dict.fromkeys(contradictions(self.machine, self.pools)),
            *_unjudged(self.machine, self.limits),
        )


def claims_of(case: Case) -> Iterator[list[Claim]]:
    """Of every limit what each pool says of it."""
    groups: dict[tuple[bool, tuple[str, str, str, str]], list[Claim]] = {}
    blocked = bool(case.blocks)
    for pool in case.pools:
        bounds = _bounds(case.machine, case.limits, pool.shaft)
        for alternatives in _alternatives(bounds, pool):
            for under_load in lines_of(alternatives[0]):
                made = claim(
                    case.machine,
                    alternatives,
                    pool,
                    under_load=under_load,
                    risk=case.risk,
                    hunts=case.hunts,
                    blocked=blocked or bool(pool.blocks),
                )
                groups.setdefault((under_load, same_limit(alternatives[0])), []).append(made)
    yield from groups.values()


@lru_cache(maxsize=32)
def _bounds(machine: Machine, limits: tuple[Limit, ...], shaft: str) -> tuple[Bound, ...]:
    """The limits at a shaft; a band asks for the same ones at speed after speed."""
    return limits_at_shaft(machine, limits, to=shaft, explained=False)


def _alternatives(bounds: Sequence[Bound], pool: Pool) -> list[list[Bound]]:
    """Bounds that are alternatives of one another; rows for peaks speak of peak readings alone."""
    groups: dict[tuple[str, str, str, str], list[Bound]] = {}
    for bound in bounds:
        if bound.applies_to == "sustained" or pool.condition == "peak":
            groups.setdefault(same_limit(bound), []).append(bound)
    return list(groups.values())


def _known(edge: float | None) -> float | None:
    """The edge, None where no reading of this kind would do."""
    return edge if edge is not None and math.isfinite(edge) else None


def _verdict(case: Case, stand: list[Claim], decision: str) -> Verdict:
    """One word over all lines, with why, and what would settle it."""
    members = tuple(member_verdict(one) for one in stand)
    limits = together([one.word for one in members if not one.under_load])
    work = together([one.word for one in members if one.under_load])
    has_work = any(one.under_load for one in members)
    maker, maker_reason = maker_line(case.machine, case.pools, case.risk, hunts=case.hunts)
    word: Word = "undecided" if limits == "undecided" or maker == "undecided" else "pass"
    if limits == "fail" or maker == "out" or (has_work and work == "fail"):
        word = "fail"
    ceilings = [one for one in stand if one.bound.side == "ceiling"]
    pool_blocks = dict.fromkeys(block for pool in case.pools for block in pool.blocks)
    taken = (message for pool in case.pools for message in pool.assumed)
    lively = max((pool.swing for pool in case.pools if not case.hunts), default=0.0)
    highest = [Message("verdict.lively", rise=Amount(lively, "rotation"))] if lively else []
    reasons = (*case.blocks, *pool_blocks, *taken, *highest, *_reasons(case, stand), *maker_reason)
    verdict = Verdict(
        word=word,
        limits=SIDES[limits],
        maker=maker,
        green=word == "pass" and maker == "in",
        p_over=_chances_over(members),
        pass_below=_known(min((one.pass_edge for one in ceilings), default=None)),
        fail_above=_known(min((one.fail_edge for one in ceilings), default=None)),
        decision_rule=decision,
        members=members,
        reasons=tuple(dict.fromkeys(reasons)),
        work=WORK[work] if has_work else "",
    )
    return replace(verdict, settle=settle(verdict, case.machine, stand))


def _unjudged(machine: Machine, limits: tuple[Limit, ...]) -> Iterator[Message]:
    """What no reading can clear, because nothing says how fast it may turn."""
    for name in unlimited(machine, limits):
        yield Message("verdict.unlimited", member=name)
    if not any(limit.side == "ceiling" and limit.applies_to == "sustained" for limit in limits):
        yield Message("verdict.no-ceiling")


def _reasons(case: Case, stand: list[Claim]) -> Iterator[Message]:
    for one in stand:
        bound = one.bound
        if one.word == "fail" and bound.side == "ceiling":
            yield Message("verdict.over", member=bound.member, rule=bound.rule)
        elif one.word == "fail":
            yield Message("verdict.too-slow", member=bound.member, rule=bound.rule)
    shafts = {CRANKSHAFT, *(member.shaft for member in case.machine.members)}
    behind = {
        shaft
        for pool in case.pools
        for of in shafts
        for shaft in may_slip(case.machine, of=of, per=pool.shaft)
    }
    if behind and any(one.word == "undecided" for one in stand):
        yield Message("verdict.behind-slip", shafts=tuple(sorted(behind)))
    if any(pool.condition == "cutting" for pool in case.pools) and any(
        one.word == "undecided" and one.bound.side == "ceiling" for one in stand
    ):
        yield Message("verdict.loaded")
    if any(one.word == "pass" and _reaches_up(one) for one in stand):
        yield (
            Message("verdict.assumed-droop")
            if bladed(case.machine)
            else Message("verdict.assumed-droop-load")
        )


def _reaches_up(one: Claim) -> bool:
    """Whether it stands on the droop that bounds how much faster the engine is with the blades off."""
    return not (one.own or one.under_load) and one.pool.condition == "blades in air"


def _chances_over(members: tuple[MemberVerdict, ...]) -> tuple[float, float] | None:
    """Least and most likely over, of the member that is most so; None where there is no ceiling."""
    ceilings = [one for one in members if one.side == "ceiling"]
    if not ceilings:
        return None
    return max(one.p_least for one in ceilings), max(one.p_most for one in ceilings)


def _cannot_tell(reading: Reading, machine: Machine, decision: str) -> Verdict:
    """Nothing was read that settles on one speed of a shaft this machine has."""
    gone = reading.shaft not in machine.shafts
    why: Message | str = reading.why
    if gone:
        why = Message("verdict.shaft-gone", shaft=reading.shaft)
    elif reading.condition == "idle":
        why = Message("verdict.idle-only")
    steps = (Message("verdict.read-as-it-is"),) if gone else reading.next_steps
    return Verdict(
        word="undecided",
        limits="undecided",
        maker="undecided",
        green=False,
        p_over=None,
        pass_below=None,
        fail_above=None,
        decision_rule=decision,
        reasons=(why or Message("verdict.no-speed"),),
        settle=steps,
    )
