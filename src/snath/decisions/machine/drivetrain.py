"""Work out each shaft's speed for one turn of the crankshaft, as a few alternatives."""

import math
from itertools import product as combinations

from snath.decisions.machine.parts import CRANKSHAFT, Coupling, Machine, Ratio
from snath.quantities.measured import exact, product, quotient
from snath.quantities.message import Message

BELTS = ("belt", "variable")
RIGID = ("direct", "gear", "chain")
# Of a belt that states no slip, at no load: as a rule, and at most; common practice, no source
USUAL_SLIP, SLIP_AT_NO_LOAD = 0.02, 0.04
KEPT = 4  # alternatives carried on per shaft whatever they are; of more, those some limit may ask for
# So many of its own standard uncertainties a ratio may be taken faster, or slower: a guard beside other doubts asks for
# none up to all of the 1.6 to 2 that a decision rule keeps away.
GUARDS = (0.0, 0.5, 1.0, 1.5, 2.0)


def path(machine: Machine, shaft: str) -> tuple[Coupling, ...]:
    """The couplings from the crankshaft to a shaft, nearest the crankshaft first."""
    into = {coupling.driven: coupling for coupling in machine.couplings}
    found: list[Coupling] = []
    while shaft != CRANKSHAFT:
        coupling = into[shaft]
        found.insert(0, coupling)
        shaft = coupling.driver
    return tuple(found)


def speed_ratios(machine: Machine, *, of: str, per: str = CRANKSHAFT) -> tuple[Ratio, ...]:
    """Speed of one shaft over the speed of another, without slip.

    Couplings the two shafts share cancel, with their uncertainty. Each belt's sheave convention is one choice
    for both its sheaves; of many combinations along a train only those are kept that are an extreme with their doubt.
    """
    down, up = _apart(machine, of, per)
    carried: tuple[Ratio, ...] = (Ratio("", exact(1.0)),)
    alone = len(up) + len(down) == 1
    for coupling, joined in [(c, quotient) for c in reversed(up)] + [(c, product) for c in down]:
        steps = [
            Ratio(
                _named(before, alternative),
                joined(before.value, alternative.value),
                alternative.circles if alone and joined is product else None,
            )
            for before, alternative in combinations(carried, coupling.alternatives)
        ]
        carried = _thinned(steps)
    return carried


def slip(machine: Machine, *, of: str, per: str = CRANKSHAFT) -> tuple[float, float]:
    """Largest slip under load on the way down to a shaft, and on the way up from the other, as fractions.

    Couplings both shafts share do not count, and slip that is not stated counts as none: ask `may_slip`.
    """
    down, up = _apart(machine, of, per)
    return _slip_along(down), _slip_along(up)


def slip_at_no_load(machine: Machine, *, of: str, per: str = CRANKSHAFT) -> tuple[float, float]:
    """As `slip`, with what a belt of unstated or smaller slip may do at no load wherever one may be on the way."""
    down, up = _apart(machine, of, per)
    return _slip_along(down, SLIP_AT_NO_LOAD), _slip_along(up, SLIP_AT_NO_LOAD)


def may_slip(machine: Machine, *, of: str, per: str = CRANKSHAFT) -> tuple[str, ...]:
    """Shafts behind belts of unstated slip on the way up from `per` to where the two ways part."""
    _, up = _apart(machine, of, per)
    return tuple(c.driven for c in up if c.kind in BELTS and c.slip_max is None)


def sense(machine: Machine, shaft: str) -> int:
    """+1 where the shaft turns as the crankshaft does, -1 where it turns against it."""
    return math.prod(coupling.sense for coupling in path(machine, shaft))


def _apart(machine: Machine, of: str, per: str) -> tuple[tuple[Coupling, ...], tuple[Coupling, ...]]:
    down, up = path(machine, of), path(machine, per)
    while up and down and up[0] == down[0]:
        up, down = up[1:], down[1:]
    return down, up


def _slip_along(couplings: tuple[Coupling, ...], least: float = 0.0) -> float:
    """The slip of one way, at least that much wherever a belt may be."""
    return 1 - math.prod(1 - max(c.slip_max or 0.0, 0.0 if c.kind in RIGID else least) for c in couplings)


def _named(before: Ratio, after: Ratio) -> Message | str:
    names = tuple(name for name in (before.name, after.name) if name)
    if len(set(names)) > 1:
        return Message("machine.then", first=names[0], then=names[1])
    return names[0] if names else ""


def _thinned(steps: list[Ratio]) -> tuple[Ratio, ...]:
    """What is fastest or slowest at some guard: a lesser ratio less well known may bind before a greater one."""
    if len(steps) <= KEPT:
        return tuple(steps)
    slow = {min(range(len(steps)), key=lambda at: _guarded(steps[at], -guard)) for guard in GUARDS}
    fast = {max(range(len(steps)), key=lambda at: _guarded(steps[at], guard)) for guard in GUARDS}
    return tuple(sorted((steps[at] for at in slow | fast), key=lambda ratio: ratio.value.value))


def _guarded(ratio: Ratio, guard: float) -> float:
    return ratio.value.value + guard * ratio.value.u
