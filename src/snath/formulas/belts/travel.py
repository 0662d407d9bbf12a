"""How far must a movable pulley travel to fit a belt, tighten it and follow it as it stretches?"""

from dataclasses import dataclass

from snath.formulas.belts.take_up import Seat, TakeUp, released_slack, seat_for


@dataclass(frozen=True, slots=True)
class Travel:
    """How a movable pulley follows one belt through its life.

    Attributes
    ----------
    fitted, shortest, stretched : Seat
        For the length as named, at the short end of its tolerance, and stretched from the long end.
    slack_released : float
        Belt left over with the pulley at its slack end. [m]
    share_left : float
        Of the travel, still free when stretched.
    """

    fitted: Seat
    shortest: Seat
    stretched: Seat
    slack_released: float
    share_left: float


def travel_for(take_up: TakeUp, *, length: float, tolerance: float, stretch: float) -> Travel:
    """Travel from slack to tight over the belt's length tolerance and its stretch in service.

    Parameters
    ----------
    take_up : TakeUp
        The drive.
    length : float
        Of the belt as named. [m]
    tolerance : float
        Plus or minus on a new belt. [m]
    stretch : float
        Share by which it grows in service. [1]

    Returns
    -------
    Travel
        Three seats and what is left over.

    Raises
    ------
    InputError
        If one of the three cannot be reached.
    """
    fitted, shortest = seat_for(take_up, length=length), seat_for(take_up, length=length - tolerance)
    stretched = seat_for(take_up, length=(length + tolerance) * (1 + stretch))
    return Travel(fitted, shortest, stretched, released_slack(take_up, length=length), 1 - stretched.share)


def allowance(*, length: float) -> tuple[float, float]:
    """How far shafts should be able to move, by a rule of thumb: in to fit the belt, out to tension it.

    Parameters
    ----------
    length : float
        Of the belt. [m]

    Returns
    -------
    (float, float)
        1.5 % of the length towards each other, 3 % apart. [m]

    Notes
    -----
    Common practice, no source; ISO 155 gives both as sums of factors that were not read.
    """
    return 0.015 * length, 0.03 * length
