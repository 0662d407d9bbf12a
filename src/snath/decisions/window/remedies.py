"""When the window is shut, or the maker's figure lies outside: which single change would open it?

Every change is found on the machine itself, by changing one thing and solving again, and is kept only if the
caller's own run of the whole job confirms it. No remedy softens a rule.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial

from snath.decisions.machine.exchange import ends_on, exchanged, with_ratio
from snath.decisions.machine.parts import CRANKSHAFT, Coupling, Machine, Member, Size
from snath.decisions.machine.train import path
from snath.decisions.window.explain import remedy_words
from snath.decisions.window.window import Remedy, Window
from snath.quantities.measured import exact

Rerun = Callable[[Machine], Window]

SMALLEST, LARGEST = 0.25, 4.0  # how far a part may grow or shrink in the search, as a factor
STEPS = 64
HALVINGS = 24


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that can be varied: `made(factor)` is the machine with it scaled."""

    kind: str
    shaft: str
    size: float
    made: Callable[[float], Machine]
    direction: int
    grain: float


def remedies(machine: Machine, window: Window, *, solve: Rerun, confirm: Rerun) -> tuple[Remedy, ...]:
    """Every single change that opens the window, mildest of its kind, confirmed before it is listed."""
    if opens(machine, window):
        return ()
    found = list(_speed_remedy(machine, window))
    for change in _changes(machine, window):
        factor = _mildest(change, solve)
        if factor is None:
            continue
        size = _rounded(change.size * factor, change)
        changed = change.made(size / change.size)
        after = confirm(changed)
        if opens(changed, after):
            found.append(
                Remedy(
                    change=remedy_words(change.kind, change.shaft, size, change.direction),
                    kind=change.kind,
                    shaft=change.shaft,
                    value=size,
                    ceiling=after.ceiling,
                    floor=after.floor,
                )
            )
    return tuple(found)


def opens(machine: Machine, window: Window) -> bool:
    """Whether the window is open and the maker's figure, where there is one, lies inside it."""
    if not window.feasible or window.ceiling is None:
        return False
    figure = machine.engine.maker_no_load
    floor = window.floor if window.floor is not None else 0.0
    return figure is None or floor <= figure.rev_s <= window.ceiling


def _speed_remedy(machine: Machine, window: Window) -> Iterator[Remedy]:
    """Another engine speed will do where the window is open but does not hold the maker's figure."""
    figure = machine.engine.maker_no_load
    if not window.feasible or figure is None or machine.engine.governor == "none":
        return
    value = window.pass_below if figure.rev_s > (window.ceiling or 0.0) else window.floor
    if value is not None:
        direction = -1 if value == window.pass_below else +1
        words = remedy_words("engine speed", CRANKSHAFT, value, direction)
        yield Remedy(words, "engine speed", CRANKSHAFT, value, window.ceiling, window.floor)


def _changes(machine: Machine, window: Window) -> Iterator[Change]:
    concerned = _concerned(machine, window)
    yield from _blade_changes(machine, concerned)
    on_the_way = {c.driven: c for member in concerned for c in path(machine, member.shaft)}
    tried: set[tuple[str, int]] = set()
    for coupling in on_the_way.values():
        for place in range(len(coupling.parts)):
            if (coupling.driven, place) not in tried:
                yield from _part_changes(machine, coupling, place)
                tried |= {(c.driven, at) for c, at in ends_on(machine, coupling, place)}
        yield from _ratio_changes(machine, coupling)


def _concerned(machine: Machine, window: Window) -> list[Member]:
    """Members whose own bounds keep the wanted speed out."""
    figure = machine.engine.maker_no_load
    wanted = figure.rev_s if figure is not None else (window.floor or 0.0)
    over = {b.member for b in window.bounds if b.side == "ceiling" and b.engine.value < wanted}
    under = {b.member for b in window.bounds if b.side == "floor" and b.engine.value > wanted}
    return [m for m in machine.members if m.name in over | under | {window.binding}]


def _blade_changes(machine: Machine, concerned: list[Member]) -> Iterator[Change]:
    blades = [m for m in concerned if m.kind in ("blade", "string head") and m.sizes]
    for group in [[blade] for blade in blades] + ([blades] if len(blades) > 1 else []):
        largest = max(size.diameter.value for blade in group for size in blade.sizes)
        names = {blade.name for blade in group}
        yield Change(
            "blade",
            " and ".join(blade.shaft for blade in group),
            largest,
            partial(_with_blades, machine, frozenset(names), largest),
            -1,
            0.0254 / 16,
        )


def _with_blades(machine: Machine, names: frozenset[str], largest: float, factor: float) -> Machine:
    size = (Size("the maker's listed blade", exact(largest * factor)),)
    members = tuple(replace(m, sizes=size) if m.name in names else m for m in machine.members)
    return replace(machine, members=members)


def _part_changes(machine: Machine, coupling: Coupling, place: int) -> Iterator[Change]:
    """A sheave or gear smaller and larger; where several belts run on it, for all of them at once."""
    part = coupling.parts[place]
    shafts = ", ".join(c.driven for c, _ in ends_on(machine, coupling, place))
    changed = partial(_with_part_scaled, machine, coupling, place)
    grain = 0.001 if "sheave" in part.role else 1.0
    for direction in (-1, +1) if part.role.startswith("driver") else (+1, -1):
        yield Change(part.role, shafts, part.size.value, changed, direction, grain)


def _ratio_changes(machine: Machine, coupling: Coupling) -> Iterator[Change]:
    """The ratio of a coupling nothing is known of but its ratio."""
    if coupling.parts or coupling.kind == "direct":
        return
    now = max(ratio.value.value for ratio in coupling.alternatives)
    for direction in (-1, +1):
        changed = partial(_with_ratio_scaled, machine, coupling, now)
        yield Change("ratio", coupling.driven, now, changed, direction, 0.001)


def _with_part_scaled(machine: Machine, coupling: Coupling, place: int, factor: float) -> Machine:
    part = coupling.parts[place]
    resized = replace(part, size=exact(part.size.value * factor), maker_part="")
    return exchanged(machine, coupling, place, resized)


def _with_ratio_scaled(machine: Machine, coupling: Coupling, now: float, factor: float) -> Machine:
    changed = with_ratio(coupling, now * factor)
    return replace(machine, couplings=tuple(changed if c == coupling else c for c in machine.couplings))


def _mildest(change: Change, solve: Rerun) -> float | None:
    """The factor nearest to 1, in the change's direction, at which the window opens."""

    def works(factor: float) -> bool:
        changed = change.made(factor)
        return opens(changed, solve(changed))

    far = LARGEST if change.direction > 0 else SMALLEST
    shut = 1.0
    for step in range(1, STEPS + 1):
        factor = math.pow(far, step / STEPS)
        if works(factor):
            break
        shut = factor
    else:
        return None
    for _ in range(HALVINGS):
        middle = math.sqrt(shut * factor)
        shut, factor = (shut, middle) if works(middle) else (middle, factor)
    return factor


def _rounded(size: float, change: Change) -> float:
    """To the grain a shop can buy or cut, on the side that still opens the window."""
    steps = size / change.grain
    whole = math.floor(steps + 1e-9) if change.direction < 0 else math.ceil(steps - 1e-9)
    return whole * change.grain
