"""Work out the no-load engine speeds between which every part stays inside its limits."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from snath.decisions.machine.condition_words import bladed
from snath.decisions.machine.parts import CRANKSHAFT, Machine
from snath.decisions.machine.taken import belts_not_looked_at
from snath.decisions.window.limits import ENGINE, Limit, unlimited
from snath.decisions.window.propagate import limits_at_shaft, same_limit
from snath.decisions.window.window import Bound, Window
from snath.formulas.conformity import coverage_factor
from snath.quantities.message import Message
from snath.quantities.units import from_rpm, rounded, rpm

DecisionRule = Literal["one-sided 95 %", "guard of U", "simple acceptance"]
USUAL_DECISION: DecisionRule = "one-sided 95 %"
RISK: Mapping[str, float] = {"one-sided 95 %": 0.05, "guard of U": 0.025, "simple acceptance": 0.5}


@dataclass(frozen=True, slots=True)
class SettingNeeds:
    """What a setting needs between target and ceiling.

    Attributes
    ----------
    instrument_u : float
        Standard uncertainty of the tachometer it will be read with. [rev/s]
    step : float
        How finely the governor can be set. [rev/s]
    """

    instrument_u: float = 0.0
    step: float = 0.0


def solve(
    machine: Machine,
    limits: tuple[Limit, ...],
    *,
    decision: str,
    needs: SettingNeeds,
    explained: bool = True,
) -> Window:
    """The window of no-load crankshaft speed, without remedies.

    Ceilings bind at the sustained top with nothing being cut; floors at the loaded end, raised by the droop
    where the sheet states it. Rows for peak speed are listed and do not bind.
    """
    bounds = limits_at_shaft(machine, limits, explained=explained)
    ceilings = [b for b in bounds if b.side == "ceiling" and b.applies_to == "sustained"]
    floors = [b for b in bounds if b.side == "floor" and b.applies_to == "sustained"]
    factor = coverage_factor(probability=1 - RISK[decision])

    top = min(ceilings, key=lambda b: b.engine.value, default=None)
    bottom = max(floors, key=lambda b: no_load_floor(machine, b), default=None)
    ceiling = top.engine.value if top else None
    floor = no_load_floor(machine, bottom) if bottom else None
    pass_below = min((edge(b, -1, decision) for b in ceilings), default=None)
    window = Window(
        feasible=_open(floor, ceiling),
        ceiling=ceiling,
        floor=floor,
        target=None,
        set_low=None,
        set_high=None,
        pass_below=pass_below,
        fail_above=_surely_over(ceilings, decision),
        binding=top.member if top else "",
        binding_rule=top.rule if top else "",
        setting="not known",
        bounds=bounds,
        notes=tuple(_notes(machine, limits, ceilings, floors)),
    )
    return _with_setting(window, machine, needs, factor)


def no_load_floor(machine: Machine, bound: Bound) -> float:
    """The no-load speed that leaves the loaded speed on its floor. [rev/s]

    The engine's own lowest speed is a no-load figure already.
    """
    loaded = bound.member != ENGINE
    return bound.engine.value * (1 + (machine.engine.droop or 0.0) if loaded else 1.0)


def edge(bound: Bound, direction: int, decision: str) -> float:
    """The speed at which a perfect reading just meets the decision rule, under (-1) or over (+1) a bound."""
    factor: float = coverage_factor(probability=1 - RISK[decision], dof=max(bound.engine.dof, 1.0))
    return bound.believed.value + direction * factor * bound.engine.u


def _surely_over(ceilings: Iterable[Bound], decision: str) -> float | None:
    """Above this even the mildest alternative of some member is over."""
    mildest: dict[tuple[str, str, str, str], float] = {}
    for bound in ceilings:
        key, speed = same_limit(bound), edge(bound, +1, decision)
        mildest[key] = max(mildest.get(key, speed), speed)
    return min(mildest.values(), default=None)


def _open(floor: float | None, ceiling: float | None) -> bool:
    return ceiling is not None and (floor is None or floor <= ceiling)


def _with_setting(window: Window, machine: Machine, needs: SettingNeeds, factor: float) -> Window:
    """Add target and band: the maker's figure where it lies inside, else nothing of our own."""
    figure, clutch = machine.engine.maker_no_load, machine.engine.clutch
    if figure is None or not window.feasible:
        return window
    floor = window.floor if window.floor is not None else 0.0
    assert window.ceiling is not None
    assert window.pass_below is not None
    if figure.condition == "blades off" and clutch and figure.rev_s > window.ceiling:
        note = Message("window.figure-off") if bladed(machine) else Message("window.figure-disengaged")
        return replace(window, notes=(*window.notes, note))
    if not floor <= figure.rev_s <= window.ceiling:
        note = Message("window.figure-outside") if bladed(machine) else Message("window.figure-outside-parts")
        look = (Message("window.look-at-belts"),) if belts_not_looked_at(machine) else ()
        return replace(window, setting="stop", notes=(*look, *window.notes, note))
    kept = factor * needs.instrument_u + needs.step
    high = min(figure.rev_s + max(figure.tolerance, needs.step), window.pass_below - kept)
    low = max(figure.rev_s - max(figure.tolerance, needs.step), floor)
    if low > high:
        note = Message("window.no-room")
        return replace(window, setting="no room", notes=(*window.notes, note))
    target = _nearest_to_show(figure.rev_s, low, high)
    return replace(window, target=target, set_low=low, set_high=high, setting="known")


def _nearest_to_show(figure: float, low: float, high: float) -> float:
    """The figure, else the whole rpm of the band nearest to it, else the band's end. [rev/s]"""
    end = min(max(figure, low), high)
    whole = from_rpm(rounded(Fraction(rpm(end)), "down" if end < figure else "up"))
    return whole if end != figure and low <= whole <= high else end


def _notes(
    machine: Machine, limits: tuple[Limit, ...], ceilings: list[Bound], floors: list[Bound]
) -> Iterable[Message]:
    if not ceilings:
        yield Message("window.no-ceiling")
    else:
        for name in unlimited(machine, limits):
            yield Message("window.not-covered", name=name)
        if machine.engine.rated_max is None and not machine.engine.electric:
            yield Message("window.engine-not-covered")
    if machine.engine.maker_no_load is None:
        yield Message("window.no-figure")
    if any(b.member != ENGINE for b in floors) and machine.engine.droop is None:
        yield Message("window.floor-loaded")
    if any(not b.in_force for b in ceilings):
        yield Message("window.historical")
    if machine.engine.clutch and any(b.shaft != CRANKSHAFT for b in ceilings):
        yield Message("window.blades-in-air") if bladed(machine) else Message("window.engaged")
    if any(m.inverter for m in machine.members):
        yield Message("window.inverter")
