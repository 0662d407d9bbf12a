"""List the single changes a machine allows: blades, pulleys, gears, a counted ratio."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial

from snath.decisions.machine.drivetrain import path
from snath.decisions.machine.exchange import ends_on, exchanged, with_ratio
from snath.decisions.machine.parts import Coupling, Machine, Member, Size
from snath.decisions.window.sold import next_sold
from snath.decisions.window.window import Window
from snath.quantities.measured import exact
from snath.rules.kinds import TIPPED

LISTED = "listed blade"  # by the machine's maker


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that can be varied: `made(factor)` is the machine with it scaled."""

    kind: str
    shaft: str
    size: float
    made: Callable[[float], Machine]
    direction: int
    grain: float
    section: str = ""
    offset: float = 0.0

    def rounded(self, size: float) -> float:
        """To what a shop can buy or cut, on the side that still opens the window."""
        if self.section:
            sold = next_sold(size, section=self.section, offset=self.offset, direction=self.direction)
            return size if sold is None else sold
        steps = size / self.grain
        whole = math.floor(steps + 1e-9) if self.direction < 0 else math.ceil(steps - 1e-9)
        return whole * self.grain


def changes(machine: Machine, window: Window) -> Iterator[Change]:
    """Blades, then part by part along the way to every member whose bounds keep the wanted speed out."""
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
    blades = [m for m in concerned if m.kind in TIPPED and m.sizes]
    for group in [[blade] for blade in blades] + ([blades] if len(blades) > 1 else []):
        largest = max(size.diameter.value for blade in group for size in blade.sizes)
        names = {blade.name for blade in group}
        yield Change(
            "blade",
            ", ".join(blade.shaft for blade in group),
            largest,
            partial(_with_blades, machine, frozenset(names), largest),
            -1,
            0.0254 / 16,
        )


def _with_blades(machine: Machine, names: frozenset[str], largest: float, factor: float) -> Machine:
    size = (Size(LISTED, exact(largest * factor)),)
    members = tuple(replace(m, sizes=size) if m.name in names else m for m in machine.members)
    return replace(machine, members=members)


def _part_changes(machine: Machine, coupling: Coupling, place: int) -> Iterator[Change]:
    """A sheave or gear smaller and larger; where several belts run on it, for all of them at once."""
    part = coupling.parts[place]
    shafts = ", ".join(c.driven for c, _ in ends_on(machine, coupling, place))
    changed = partial(_with_part_scaled, machine, coupling, place)
    for direction in (-1, +1) if part.role.startswith("driver") else (+1, -1):
        yield Change(
            part.role,
            shafts,
            part.size.value,
            changed,
            direction,
            1.0,
            part.section,
            part.datum_offset or 0.0,
        )


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
    resized = replace(part, size=exact(part.size.value * factor), maker_part="", sunk=())
    return exchanged(machine, coupling, place, resized)


def _with_ratio_scaled(machine: Machine, coupling: Coupling, now: float, factor: float) -> Machine:
    changed = with_ratio(coupling, now * factor)
    return replace(machine, couplings=tuple(changed if c == coupling else c for c in machine.couplings))
