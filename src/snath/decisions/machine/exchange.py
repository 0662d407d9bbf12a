"""Exchange one sheave, gear or ratio of a machine.

A pulley that several belts run on is one piece: exchanged at one of them it is exchanged at all.
"""

from dataclasses import replace

from snath.decisions.machine.couplings import belt_coupling
from snath.decisions.machine.parts import BY_TEETH, Coupling, Machine, Part, Ratio
from snath.quantities.measured import quotient, scaled


def exchanged(machine: Machine, coupling: Coupling, place: int, part: Part) -> Machine:
    """The machine with the part at one end of a coupling exchanged, and with it all that runs on that pulley."""
    ends = ends_on(machine, coupling, place)
    fresh = {c.driven: with_part(c, at, replace(part, role=c.parts[at].role)) for c, at in ends}
    return replace(machine, couplings=tuple(fresh.get(c.driven, c) for c in machine.couplings))


def ends_on(machine: Machine, coupling: Coupling, place: int) -> tuple[tuple[Coupling, int], ...]:
    """Every end of a coupling that sits on the same piece as this one, in the sheet's order; this one among them."""
    pulley = coupling.parts[place].pulley
    return tuple(
        (other, at)
        for other in machine.couplings
        for at, part in enumerate(other.parts)
        if (other.driven == coupling.driven and at == place) or (pulley and part.pulley == pulley)
    )


def with_part(coupling: Coupling, place: int, part: Part) -> Coupling:
    """The same coupling with one sheave or gear exchanged, its ratios worked out anew."""
    first, second = (part if place == at else kept for at, kept in enumerate(coupling.parts))
    if coupling.kind == "belt":
        return belt_coupling(
            coupling.driver,
            coupling.driven,
            driver_sheave=first,
            driven_sheave=second,
            sense=coupling.sense,
            slip_max=coupling.slip_max,
            source=coupling.source,
        )
    ratio = Ratio(BY_TEETH, quotient(first.size, second.size), (first.size.value, second.size.value))
    return replace(coupling, alternatives=(ratio,), parts=(first, second))


def with_ratio(coupling: Coupling, highest: float) -> Coupling:
    """The same coupling scaled so that its fastest alternative has this ratio."""
    factor = highest / max(ratio.value.value for ratio in coupling.alternatives)
    alternatives = tuple(Ratio(r.name, scaled(r.value, factor)) for r in coupling.alternatives)
    return replace(coupling, alternatives=alternatives)
