"""One pulley can be moved: where does it sit for a given belt, and what is left over when it is let go?"""

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import scipy

from snath.formulas.belts.loop import Point, Pulley, Route
from snath.formulas.belts.route import lay
from snath.formulas.belts.ways import Arm, Slot
from snath.quantities.errors import InputError

STEPS = 64  # places looked at along the travel before one is refined


@dataclass(frozen=True, slots=True)
class Seat:
    """Where the movable pulley sits for one belt.

    Attributes
    ----------
    share : float
        Of the travel used, 0 at the slack end, 1 at the tight end.
    place : (float, float)
        Centre of the movable pulley. [m]
    route : Route
        The belt's route there.
    """

    share: float
    place: Point
    route: Route


def moved(pulleys: tuple[Pulley, ...], name: str, way: Slot | Arm, share: float) -> tuple[Pulley, ...]:
    """The same pulleys with the movable one at a share of its way."""
    x, y = way.at(share)
    return tuple(replace(p, x=x, y=y) if p.name == name else p for p in pulleys)


def seat_for(
    pulleys: tuple[Pulley, ...], *, name: str, way: Slot | Arm, length: float, clockwise: bool = False
) -> Seat:
    """Where the movable pulley sits so that a belt of this length is just straight.

    Parameters
    ----------
    pulleys : tuple of Pulley
        As for `route.lay`. [m]
    name : str
        The movable pulley.
    way : Slot or Arm
        Its way from slack to tight. [m]
    length : float
        Of the belt, on the line the pulleys' radii belong to. [m]
    clockwise : bool
        As for `route.lay`.

    Returns
    -------
    Seat
        The one nearest the slack end, should there be several.

    Raises
    ------
    InputError
        If the belt is too short or too long for the travel, by how much, or if it cannot be laid at all.
    """

    def reach(share: float) -> float | None:
        try:
            return lay(moved(pulleys, name, way, share), clockwise=clockwise).length
        except InputError:
            return None

    def missing(share: float) -> float:
        return lay(moved(pulleys, name, way, share), clockwise=clockwise).length - length

    found = [(float(s), reach(float(s))) for s in np.linspace(0, 1, STEPS + 1)]
    laid = [(s, r) for s, r in found if r is not None]
    if not laid:
        lay(moved(pulleys, name, way, 1.0), clockwise=clockwise)  # says why
        raise InputError(
            name, "its whole travel", "the belt cannot be laid with it at any place of its travel"
        )
    for (s, r), (t, q) in pairwise(found):
        if r is not None and q is not None and min(r, q) <= length <= max(r, q):
            share = s if r == q else float(scipy.optimize.brentq(missing, s, t, xtol=1e-14, rtol=1e-14))
            return Seat(share, way.at(share), lay(moved(pulleys, name, way, share), clockwise=clockwise))
    raise _out_of_reach(name, length, min(r for _, r in laid), max(r for _, r in laid))


def _out_of_reach(name: str, length: float, least: float, most: float) -> InputError:
    if length > most:
        return InputError(
            "belt length",
            f"{length * 1000:.1f} mm",
            f"{name} cannot tighten it: at the end of its travel the way is {most * 1000:.1f} mm; "
            f"take a belt at least {(length - most) * 1000:.1f} mm shorter",
        )
    return InputError(
        "belt length",
        f"{length * 1000:.1f} mm",
        f"too short for the frame: with {name} fully slack the way is {least * 1000:.1f} mm; "
        f"take a belt at least {(least - length) * 1000:.1f} mm longer",
    )


def released_slack(
    pulleys: tuple[Pulley, ...],
    *,
    name: str,
    way: Slot | Arm,
    length: float,
    clockwise: bool = False,
    share: float = 0.0,
) -> float:
    """Belt left over with the movable pulley let go, as a clutch idler is.

    An idler that then stands clear of the belt is left out; a shaft's own pulley never is.

    Parameters
    ----------
    pulleys : tuple of Pulley
        As for `route.lay`. [m]
    name : str
        The movable pulley.
    way : Slot or Arm
        Its way. [m]
    length : float
        Of the belt. [m]
    clockwise : bool
        As for `route.lay`.
    share : float
        Of the way it is let go to; under 0 beyond its slack end. [1]

    Returns
    -------
    float
        Negative where the belt is still tight. [m]
    """
    try:
        return length - lay(moved(pulleys, name, way, share), clockwise=clockwise).length
    except InputError:
        rest = tuple(p for p in pulleys if p.name != name)
        return length - lay(rest, clockwise=clockwise).length
