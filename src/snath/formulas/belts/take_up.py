"""Find where a movable pulley sits for a given belt, and what is left over when it is let go."""

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import scipy

from snath.formulas.belts.loop import Point, Pulley, Route
from snath.formulas.belts.route import lay
from snath.formulas.belts.ways import Arm, Slot
from snath.quantities.errors import InputError
from snath.quantities.message import Amount, Message

STEPS = 64  # places looked at along the travel before one is refined


@dataclass(frozen=True, slots=True)
class TakeUp:
    """A flat drive in which one pulley can be moved.

    Attributes
    ----------
    pulleys : tuple of Pulley
        As for `route.lay`; where the movable one is drawn does not matter. [m]
    moving : str
        Name of the movable pulley.
    way : Slot or Arm
        Its way from slack to tight. [m]
    clockwise : bool
        As for `route.lay`.
    """

    pulleys: tuple[Pulley, ...]
    moving: str
    way: Slot | Arm
    clockwise: bool = False

    def route(self, share: float) -> Route:
        """The belt's route with the movable pulley at a share of its way; refused as by `route.lay`."""
        x, y = self.way.at(share)
        there = tuple(replace(p, x=x, y=y) if p.name == self.moving else p for p in self.pulleys)
        return lay(there, clockwise=self.clockwise)


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


def seat_for(take_up: TakeUp, *, length: float) -> Seat:
    """Where the movable pulley sits so that a belt of this length is just straight.

    Parameters
    ----------
    take_up : TakeUp
        The drive.
    length : float
        Of the belt, on the line the pulleys' radii belong to. [m]

    Returns
    -------
    Seat
        The one nearest the slack end, should there be several.

    Raises
    ------
    InputError
        If the belt is too short or too long for the travel, by how much, or if it cannot be laid at all.

    References
    ----------
    .. [1] By geometry: where the route's length is that of the belt.
    """

    def reach(share: float) -> float | None:
        try:
            return take_up.route(share).length
        except InputError:
            return None

    def missing(share: float) -> float:
        return take_up.route(share).length - length

    found = [(float(s), reach(float(s))) for s in np.linspace(0, 1, STEPS + 1)]
    laid = [r for _, r in found if r is not None]
    if not laid:
        take_up.route(1.0)  # says why
        allowed = Message("belt.nowhere-laid")
        raise InputError(take_up.moving, Message("belt.whole-travel"), allowed)
    for (s, r), (t, q) in pairwise(found):
        if r is not None and q is not None and min(r, q) <= length <= max(r, q):
            share = s if r == q else float(scipy.optimize.brentq(missing, s, t, xtol=1e-14, rtol=1e-14))
            return Seat(share, take_up.way.at(share), take_up.route(share))
    raise _out_of_reach(take_up.moving, length, min(laid), max(laid))


def _out_of_reach(name: str, length: float, least: float, most: float) -> InputError:
    if length > most:
        return InputError(
            "belt length",
            f"{length * 1000:.1f} mm",
            Message(
                "belt.cannot-tighten",
                name=name,
                way=Amount(most, "length"),
                shorter=Amount(length - most, "length"),
            ),
        )
    return InputError(
        "belt length",
        f"{length * 1000:.1f} mm",
        Message(
            "belt.too-short-for-frame",
            name=name,
            way=Amount(least, "length"),
            longer=Amount(least - length, "length"),
        ),
    )


def released_slack(take_up: TakeUp, *, length: float, share: float = 0.0) -> float:
    """Belt left over with the movable pulley let go, as a clutch idler is.

    An idler that then stands clear of the belt is left out; a shaft's own pulley never is.

    Parameters
    ----------
    take_up : TakeUp
        The drive.
    length : float
        Of the belt. [m]
    share : float
        Of the way it is let go to; under 0 beyond its slack end. [1]

    Returns
    -------
    float
        Negative where the belt is still tight. [m]

    References
    ----------
    .. [1] By geometry, as `seat_for`.
    """
    try:
        return length - take_up.route(share).length
    except InputError:
        rest = tuple(p for p in take_up.pulleys if p.name != take_up.moving)
        return length - lay(rest, clockwise=take_up.clockwise).length
