"""Say what else would settle it: a finer instrument, or which other reading."""

import math
from collections.abc import Iterator

from snath.decisions.machine.condition_words import bladed
from snath.decisions.machine.drivetrain import speed_ratios
from snath.decisions.machine.parts import CRANKSHAFT, Machine
from snath.decisions.machine.taken import belts_not_looked_at
from snath.decisions.verdict.claims import Claim
from snath.decisions.verdict.verdict import Verdict
from snath.decisions.window.limits import ENGINE
from snath.decisions.window.solve import RISK
from snath.formulas.conformity import coverage_factor
from snath.quantities.message import Amount, Message

PLATE = math.sqrt(3)  # half width of a plate's rectangle over its standard uncertainty


def settle(verdict: Verdict, machine: Machine, stand: list[Claim]) -> tuple[Message | str, ...]:
    """In the order a mechanic would try them; empty where nothing is open. An open work line holds no pass up.

    The band to set in comes before them, see `band`. What surely fails is set, not read again.
    """
    loaded = (Message("verdict.read-loaded"),) if verdict.work == "open" else ()
    if verdict.word in ("pass", "fail") or not stand:
        return loaded
    look = (Message("verdict.look-at-belts"),) if _a_look_would_tell(machine, stand) else ()
    return (
        *_limits_to_look_up(verdict),
        *look,
        *_finer(stand, RISK[verdict.decision_rule]),
        *dict.fromkeys(_steps(machine, stand)),
        *loaded,
    )


def _limits_to_look_up(verdict: Verdict) -> Iterator[Message]:
    """Where nothing says how fast a part may turn, no reading comes before finding that out."""
    for reason in verdict.reasons:
        if isinstance(reason, Message) and reason.code == "verdict.unlimited":
            yield Message("verdict.look-up-limit", member=reason.values["member"])


def _a_look_would_tell(machine: Machine, stand: list[Claim]) -> bool:
    """Whether some limit behind a belt is open, and nobody looked how the belt rides."""
    return belts_not_looked_at(machine) and any(
        one.word == "undecided" and one.bound.shaft != CRANKSHAFT for one in stand
    )


def _finer(stand: list[Claim], risk: float) -> Iterator[Message]:
    """A tachometer that would decide every open ceiling at this very speed, where a better one could."""
    factor = coverage_factor(probability=1 - risk)
    open_ones = [
        one for one in stand if one.bound.side == "ceiling" and one.word == "undecided" and one.clears
    ]
    if factor == 0 or not open_ones or any(one.pool.blocks or one.pool.swing for one in open_ones):
        return
    squares = []
    for one in open_ones:
        margin = abs(one.bound.believed.value - one.pool.value.value) / factor
        squares.append(margin**2 - one.bound.believed.u**2)
    needed = math.sqrt(min(squares)) if min(squares) > 0 else 0.0
    known = min(one.pool.value.u + one.pool.off for one in open_ones)
    if needed * PLATE >= 1 / 60 and needed < known:
        yield Message("verdict.finer-instrument", half_width=Amount(PLATE * needed, "rotation"))


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
    yield from _nearer(machine, [one for one in stand if one.word == "undecided" and one.clears])
    if machine.engine.clutch and any(
        one.word == "undecided"
        and one.most > 0.5 >= one.least
        and one.bound.member == ENGINE
        and one.pool.condition == "blades in air"
        for one in stand
    ):
        yield Message("verdict.read-blades-off") if bladed(machine) else Message("verdict.read-disengaged")
    for pool in pools:
        yield from pool.readings[-1].next_steps


def _nearer(machine: Machine, open_ones: list[Claim]) -> Iterator[Message]:
    """What comes nearer to an open ceiling: the condition it is for, and the shaft it is of."""
    ceilings = [one for one in open_ones if one.bound.side == "ceiling"]
    if any(not one.own and one.pool.condition == "blades off" for one in ceilings):
        yield Message("verdict.read-in-air") if bladed(machine) else Message("verdict.read-engaged")
    for one in ceilings:
        shaft, read = one.bound.shaft, one.pool.shaft
        if shaft in (CRANKSHAFT, read) or _ratio_known(machine, shaft, read):
            continue
        yield Message("verdict.read-at-shaft", shaft=shaft)
        if any(coupling.driven == shaft and coupling.parts for coupling in machine.couplings):
            yield Message("verdict.count-turns", shaft=shaft)


def _ratio_known(machine: Machine, shaft: str, read: str) -> bool:
    """Whether the drive between two shafts leaves nothing open."""
    ratios = speed_ratios(machine, of=shaft, per=read)
    return len(ratios) == 1 and ratios[0].value.u == 0
