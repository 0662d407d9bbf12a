"""Does this reading prove that the machine is inside its limits, or outside, or neither?

The judged quantity is the sustained no-load top. A reading with the blades off, or of a peak, can only be as
fast or faster, so it can clear that top and cannot condemn it; a reading while cutting can only be as slow or
slower, so it can condemn and cannot clear.
"""

from collections.abc import Iterator
from dataclasses import replace

from snath.decisions.machine.parts import CRANKSHAFT, Machine
from snath.decisions.machine.train import may_slip
from snath.decisions.reading.instruments import Instrument, overdue
from snath.decisions.reading.reading import Reading
from snath.decisions.verdict.combine import side_of_limits, together
from snath.decisions.verdict.maker import maker_line
from snath.decisions.verdict.members import Judged, chances_over, fails_above, judged, member_verdicts
from snath.decisions.verdict.settle import settle
from snath.decisions.verdict.verdict import MemberVerdict, Verdict, Word
from snath.decisions.window.carry import carried
from snath.decisions.window.limits import Limit, unlimited
from snath.decisions.window.solve import RISK
from snath.decisions.window.window import Bound
from snath.quantities.units import show


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
    if reading.shaft not in machine.shafts:
        return _cannot_tell(_of_another_machine(reading), decision)
    if reading.value is None:
        return _cannot_tell(reading, decision)
    risk = RISK[decision]
    found = _found(machine, limits, reading, risk)
    unjudged = tuple(_unjudged(machine, limits))
    blocks = (*_blocks(reading, instrument, judged_on), *unjudged)
    members = tuple(member_verdicts(machine, found, reading, risk, blocked=bool(blocks)))
    maker, maker_reason = maker_line(machine, reading, risk)
    ceilings = [j for j in found if j.bound.side == "ceiling"]
    reasons = (*blocks, *_reasons(machine, members, reading), *maker_reason)
    verdict = _worded(members, ceilings, maker=maker, decision=decision, reasons=reasons)
    steps = settle(
        verdict,
        reading,
        [(j.bound, risk) for j in ceilings],
        disengages=machine.engine.clutch,
        unjudged=bool(unjudged),
    )
    return replace(verdict, settle=steps)


def _found(machine: Machine, limits: tuple[Limit, ...], reading: Reading, risk: float) -> list[Judged]:
    """Every limit that speaks of this reading, in each alternative, held against it."""
    assert reading.value is not None
    bounds = carried(machine, limits, to=reading.shaft, explained=False)
    swing = reading.hunting or 0.0
    return [judged(b, reading.value, risk, swing=swing) for b in bounds if _speaks(b, reading)]


def _worded(
    members: tuple[MemberVerdict, ...],
    ceilings: list[Judged],
    *,
    maker: str,
    decision: str,
    reasons: tuple[str, ...],
) -> Verdict:
    """One word over all members and the maker's figure, with the edges a reading would have to reach."""
    limits = together([member.word for member in members])
    word = _stricter(limits, maker)
    return Verdict(
        word=word,
        limits=side_of_limits(limits),
        maker=maker,
        green=word == "pass" and maker == "in",
        p_over=chances_over(members),
        pass_below=min((j.pass_edge for j in ceilings), default=None),
        fail_above=fails_above(ceilings),
        decision_rule=decision,
        members=members,
        reasons=reasons,
    )


def _speaks(bound: Bound, reading: Reading) -> bool:
    """Peak rows are for peak readings; a peak reading is held against both kinds."""
    return bound.applies_to == "sustained" or reading.condition == "peak"


def _blocks(reading: Reading, instrument: Instrument | None, judged_on: str) -> list[str]:
    """What keeps any reading from being a pass, whatever its figure."""
    found = []
    if not reading.confirmed:
        found.append(f"An indication only: {reading.why}" if reading.why else "An indication only.")
    if reading.unsteady:
        assert reading.lowest is not None
        assert reading.highest is not None
        low, high = (show(v, "rpm", digits=0) for v in (reading.lowest, reading.highest))
        found.append(f"The speed moved from {low} to {high} within the recording: no one sustained speed.")
    if reading.hunting is not None:
        found.append("The engine hunts: that is a repair first, and no reading of it is a pass.")
    if instrument is not None and judged_on and overdue(instrument, judged_on):
        found.append(f"{instrument.name} is overdue for its check.")
    return found


def _unjudged(machine: Machine, limits: tuple[Limit, ...]) -> Iterator[str]:
    """What no reading can clear, because nothing says how fast it may turn."""
    for name in unlimited(machine, limits):
        yield f"No limit is known for {name}: no reading clears it."
    if not any(limit.side == "ceiling" and limit.applies_to == "sustained" for limit in limits):
        yield "No ceiling is known for anything on this machine: no reading clears it."


def _stricter(limits: Word, maker: str) -> Word:
    if limits == "fail" or maker == "out":
        return "fail"
    return "undecided" if limits == "undecided" or maker == "undecided" else "pass"


def _reasons(machine: Machine, members: tuple[MemberVerdict, ...], reading: Reading) -> list[str]:
    found = [
        f"{m.member} is over its limit ({m.rule})."
        if m.side == "ceiling"
        else f"{m.member} is under the speed it needs ({m.rule})."
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


def _of_another_machine(reading: Reading) -> Reading:
    """A reading kept from before the machine's shafts were changed: it says nothing of the machine as it is."""
    return replace(
        reading,
        why=f"This reading was taken at the {reading.shaft}, which the machine no longer has.",
        next_steps=("Read the machine again as it is now.",),
    )


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
