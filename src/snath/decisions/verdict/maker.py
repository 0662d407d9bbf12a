"""Hold a reading against the equipment maker's figure and its tolerance: met, surely missed, or open."""

import math
from collections.abc import Iterator, Sequence
from itertools import product

from snath.decisions.machine.condition_words import condition_term
from snath.decisions.machine.drivetrain import may_slip, slip, speed_ratios
from snath.decisions.machine.parts import CRANKSHAFT, Condition, Machine, MakerFigure
from snath.decisions.verdict.claims import dof_of
from snath.decisions.verdict.conditions import Span, span
from snath.decisions.verdict.pools import Pool
from snath.formulas.conformity import probability_over
from snath.quantities.measured import Measured, combine
from snath.quantities.message import Amount, Message

EPSILON = 1e-12
SAME = 1e-12  # of a speed: on the end of the tolerance is in, however its figures were rounded
Line = tuple[str, tuple[Message, ...]]


def maker_line(machine: Machine, pools: Sequence[Pool], risk: float, *, hunts: bool) -> Line:
    """In or out of the maker's figure, and why not.

    It is met without a guard band: a maker's tolerance is how finely a governor is set, no limit that hurts. Out is
    only what is surely past an end. A reading at a driven shaft is carried to the crankshaft without slip and with
    all that is stated; one in another condition as far as `span` bounds it.
    """
    figure = machine.engine.maker_no_load
    if figure is None:
        return "no figure", (Message("verdict.no-figure"),)
    wanted = figure_condition(machine, figure)
    told = [pool for pool in pools if pool.steady]
    best = min(told, key=lambda pool: _fitness(machine, pool, wanted), default=None)
    if best is None:
        return "undecided", ()
    words = [_word(machine, figure, pool, wanted, risk, hunts=hunts) for pool in told]
    assumed = tuple(_assumed(figure))
    if "out" in words:
        return "out", (Message("verdict.out-of-figure"), *assumed)
    if words[told.index(best)] == "in":
        return "in", assumed
    if best.condition != wanted:
        read, meant = condition_term(machine, best.condition), condition_term(machine, wanted)
        return "undecided", (Message("verdict.figure-elsewhere", wanted=meant, read=read),)
    return "undecided", (Message("verdict.figure-open"), *assumed)


def _fitness(machine: Machine, pool: Pool, wanted: Condition) -> tuple[bool, bool, float]:
    """In its own condition first, then before any belt that may slip, then the finest."""
    slips = bool(may_slip(machine, of=CRANKSHAFT, per=pool.shaft))
    return pool.condition != wanted, slips, (pool.off + pool.plain.u) / pool.plain.value


def _assumed(figure: MakerFigure) -> Iterator[Message]:
    """What stands in place of a tolerance the maker does not print."""
    by = Amount(figure.tolerance, "rotation")
    if figure.tolerance_from == "assumed":
        yield Message("verdict.figure-assumed", by=by)
    elif figure.tolerance_from:
        yield Message("verdict.figure-shops", by=by)


def figure_condition(machine: Machine, figure: MakerFigure) -> Condition:
    """The condition the figure is for; where nothing can be disengaged, no load is with the blades in air."""
    if figure.condition == "blades off" and not machine.engine.clutch:
        return "blades in air"
    return figure.condition


def figure_reach(machine: Machine, figure: MakerFigure, *, shaft: str, condition: Condition) -> Span:
    """Readings of a shaft in a condition that meet the figure in every alternative; the ends cross where none does."""
    wanted = figure_condition(machine, figure)
    reach = span(machine.engine, read=condition, wanted=wanted, hunts=False)
    behind = {1.0, 1 / (1 - slip(machine, of=CRANKSHAFT, per=shaft)[1])}
    factors = [
        ratio.value.value * share
        for ratio, share in product(speed_ratios(machine, of=CRANKSHAFT, per=shaft), behind)
    ]
    if may_slip(machine, of=CRANKSHAFT, per=shaft) or reach[0] == 0:
        return math.inf, -math.inf
    low, high = figure.rev_s - figure.tolerance, figure.rev_s + figure.tolerance
    return low / (reach[0] * min(factors)), high / (reach[1] * max(factors))


def _word(
    machine: Machine, figure: MakerFigure, pool: Pool, wanted: Condition, risk: float, *, hunts: bool
) -> str:
    reach = span(machine.engine, read=pool.condition, wanted=wanted, hunts=hunts)
    low, high = figure.rev_s - figure.tolerance, figure.rev_s + figure.tolerance
    behind = {1.0, 1 / (1 - slip(machine, of=CRANKSHAFT, per=pool.shaft)[1])}
    speeds = [
        _carried(pool.plain, ratio.value, share)
        for ratio, share in product(speed_ratios(machine, of=CRANKSHAFT, per=pool.shaft), behind)
    ]
    slips = may_slip(machine, of=CRANKSHAFT, per=pool.shaft)
    inside = all(
        low * (1 - SAME) <= one.value * reach[0] and one.value * reach[1] <= high * (1 + SAME)
        for one in speeds
    )
    if not slips and inside:
        return "in"
    under = 0.0 if slips else reach[1]  # behind unstated slip the crankshaft may turn any faster
    sure = 1 - risk - EPSILON
    too_fast = all(_past(one, high, reach[0], pool, +1) >= sure for one in speeds)
    too_slow = all(_past(one, low, under, pool, -1) >= sure for one in speeds)
    return (
        "out" if too_fast or too_slow else "undecided"
    )  # between two that lie past either end one may be in


def _carried(value: Measured, ratio: Measured, share: float) -> Measured:
    speed = value.value * ratio.value * share
    return combine(speed, [(value, ratio.value * share), (ratio, value.value * share)])


def _past(speed: Measured, end: float, factor: float, pool: Pool, side: int) -> float:
    """How surely a speed lies past one end of the tolerance, at the milder end of what is only bounded."""
    if factor in (0.0, math.inf):
        return 0.0
    scale = speed.value / pool.plain.value * factor
    past = side * (speed.value * factor - end) - pool.off * scale
    return float(probability_over(value=past, u=speed.u * factor, limit=0.0, dof=dof_of(speed)))
