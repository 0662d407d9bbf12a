"""What would settle it: how far to lower the setting, how good a tachometer, or which other reading."""

import math
from collections.abc import Iterable, Sequence

from snath.decisions.reading.reading import Reading
from snath.decisions.verdict.verdict import Verdict
from snath.decisions.window.limits import ENGINE
from snath.decisions.window.window import Bound
from snath.formulas.conformity import coverage_factor
from snath.quantities.measured import Measured
from snath.quantities.units import show

PLATE = math.sqrt(3)  # half width of a plate's rectangle over its standard uncertainty


def settle(
    verdict: Verdict,
    reading: Reading,
    ceilings: Sequence[tuple[Bound, float]],
    *,
    disengages: bool,
    unjudged: bool,
) -> tuple[str, ...]:
    """In the order a mechanic would try them; empty where nothing is open.

    `disengages` says whether the blades can stand still while the engine runs, `unjudged` whether something
    turns that no limit speaks of.
    """
    if verdict.word == "pass" or reading.value is None:
        return ()
    slower = () if unjudged or _never_passes(reading) else _slower(verdict, reading.value, ceilings)
    return (*slower, *_steps(verdict, reading, disengages=disengages))


def _never_passes(reading: Reading) -> bool:
    """Whether a reading of this kind passes at no speed: then a lower setting alone is no way out."""
    return reading.condition == "cutting" or reading.hunting is not None or reading.unsteady


def _slower(verdict: Verdict, value: Measured, ceilings: Sequence[tuple[Bound, float]]) -> Iterable[str]:
    """A lower setting, or a better tachometer for this one."""
    if verdict.pass_below is None or value.value <= verdict.pass_below:
        return
    lower = show(value.value - verdict.pass_below, "rpm", digits=0, round="up")
    yield f"Lower it by {lower} and it passes, read the same way."
    better = _instrument_needed(value.value, value.u, ceilings)
    if better is not None:
        yield f"A tachometer good to ±{show(PLATE * better, 'rpm', digits=0, round='down')} would decide it."


def _steps(verdict: Verdict, reading: Reading, *, disengages: bool) -> Iterable[str]:
    """What to read besides, or instead."""
    if reading.unsteady:
        yield "Record again with throttle and load left alone, or cut the clip to one steady stretch."
    if not reading.confirmed:
        yield "Read it at least three times, with a tachometer whose check is not overdue."
    if reading.condition == "cutting":
        yield "Read the no-load top: throttle on its stop, nothing being cut."
    engine_open = any(
        m.member == ENGINE and m.word == "undecided" and m.p_most <= 0.5 for m in verdict.members
    )
    if engine_open and disengages and reading.condition == "blades in air":
        yield "Read once more with the blades off: the engine's own limit is judged there."
    if any(m.side == "floor" and m.word == "undecided" for m in verdict.members):
        yield "Read under its working load: the floor is judged there."
    yield from reading.next_steps


def _instrument_needed(
    speed: float, u_reading: float, ceilings: Sequence[tuple[Bound, float]]
) -> float | None:
    """Standard uncertainty of a reading that would decide every ceiling, else None. [rev/s]"""
    needed = math.inf
    for bound, risk in ceilings:
        factor = coverage_factor(probability=1 - risk)
        if factor == 0:
            continue
        margin = abs(bound.believed.value - speed) / factor
        if margin <= bound.engine.u:
            return None
        needed = min(needed, math.sqrt(margin**2 - bound.engine.u**2))
    return needed if needed * PLATE >= 1 / 60 and needed < u_reading else None
