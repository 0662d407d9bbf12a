"""Say what would settle it: how far to lower the setting, how good a tachometer, or which other reading."""

import math
from collections.abc import Iterator

from snath.decisions.machine.parts import Machine
from snath.decisions.verdict.claims import Claim
from snath.decisions.verdict.verdict import Verdict
from snath.decisions.window.limits import ENGINE
from snath.decisions.window.solve import RISK
from snath.formulas.conformity import coverage_factor
from snath.quantities.message import Amount, Message

PLATE = math.sqrt(3)  # half width of a plate's rectangle over its standard uncertainty


def settle(
    verdict: Verdict, machine: Machine, stand: list[Claim], *, unjudged: bool
) -> tuple[Message | str, ...]:
    """In the order a mechanic would try them; empty where nothing is open. An open work line holds no pass up.

    `unjudged` says whether something turns that no limit speaks of: then no lower setting is a way out.
    """
    loaded = (Message("verdict.read-loaded"),) if verdict.work == "open" else ()
    if verdict.word == "pass" or not stand:
        return loaded
    ceilings = [one for one in stand if one.bound.side == "ceiling"]
    never = unjudged or any(
        one.pool.condition == "cutting" or one.pool.swing > 0 or not one.pool.steady for one in ceilings
    )
    slower = () if never else _slower(ceilings, RISK[verdict.decision_rule])
    return (*slower, *dict.fromkeys(_steps(machine, stand)), *loaded)


def _slower(ceilings: list[Claim], risk: float) -> Iterator[Message]:
    """A lower setting, or a better tachometer for this one."""
    tight = [one for one in ceilings if one.word != "pass" and one.pass_edge > -math.inf]
    if not tight:
        return
    one = max(tight, key=lambda one: one.pool.value.value - one.pass_edge)
    by = one.pool.value.value - one.pass_edge
    if by <= 0:
        return
    yield Message("verdict.lower", by=Amount(by, "rotation"))
    better = _instrument_needed(one, tight, risk)
    if better is not None:
        yield Message("verdict.finer-instrument", half_width=Amount(PLATE * better, "rotation"))


def _steps(machine: Machine, stand: list[Claim]) -> Iterator[Message | str]:
    """What to read besides, or instead."""
    pools = {id(one.pool): one.pool for one in stand}.values()
    if any(not pool.steady for pool in pools):
        yield Message("verdict.record-steady")
    if any(pool.blocks and pool.steady for pool in pools):
        yield Message("verdict.read-with-known")
    if any(pool.condition == "cutting" for pool in pools) and any(
        one.word == "undecided" and not one.under_load for one in stand
    ):
        yield Message("verdict.read-no-load")
    if machine.engine.clutch and any(
        one.word == "undecided"
        and one.most > 0.5 >= one.least
        and one.bound.member == ENGINE
        and one.pool.condition == "blades in air"
        for one in stand
    ):
        yield Message("verdict.read-blades-off")
    for pool in pools:
        yield from pool.readings[-1].next_steps


def _instrument_needed(one: Claim, ceilings: list[Claim], risk: float) -> float | None:
    """Standard uncertainty of a reading that would decide every open ceiling, else None. [rev/s]"""
    factor = coverage_factor(probability=1 - risk)
    if factor == 0:
        return None
    needed, value = math.inf, one.pool.value
    for other in ceilings:
        margin = abs(other.bound.believed.value - value.value) / factor
        if margin <= other.bound.engine.u:
            return None
        needed = min(needed, math.sqrt(margin**2 - other.bound.engine.u**2))
    return needed if needed * PLATE >= 1 / 60 and needed < value.u else None
