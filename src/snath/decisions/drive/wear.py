"""A worn groove: the belt runs deeper, and the sheave counts as smaller than it measures.

What wears is the groove, not the outside. A worn driver slows the blade, a worn blade sheave speeds it up.
How deep the belt rides is seen, not known, so the drive is taken both as new and as worn.
"""

from dataclasses import replace

from snath.decisions.machine.parts import Coupling, Ratio
from snath.quantities.measured import Measured, combine, quotient

WORN = "worn as it rides"


def worn(coupling: Coupling, *, driver_ride: float, driven_ride: float) -> Coupling:
    """The coupling with a worn way beside each way to see its ratio.

    Parameters
    ----------
    coupling : Coupling
        A belt with its two sheaves.
    driver_ride, driven_ride : float
        How far the belt's top stands above each rim; negative where it has sunk in. [m]
    """
    if driver_ride == 0 and driven_ride == 0:
        return coupling
    driver, driven = coupling.parts
    more = []
    for ratio, offset in zip(coupling.alternatives, (0.0, 1.0), strict=True):
        above = _line(driver.size, offset * (driver.datum_offset or 0.0) - 2 * driver_ride)
        below = _line(driven.size, offset * (driven.datum_offset or 0.0) - 2 * driven_ride)
        more.append(Ratio(f"{ratio.name}, {WORN}", quotient(above, below)))
    return replace(coupling, alternatives=(*coupling.alternatives, *more))


def _line(size: Measured, deeper: float) -> Measured:
    return combine(size.value - deeper, [(size, 1.0)])
