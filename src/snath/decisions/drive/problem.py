"""State the question put to the search and its answer: positions, belts, constraints; the drives found.

Everything here is SI and plain; where the figures come from is the business of `ask`.
"""

import math
from dataclasses import dataclass

from snath.decisions.drive.positions import BeltChoice, Choice, Position
from snath.formulas.belts.ways import Arm, Slot


@dataclass(frozen=True, slots=True)
class Problem:
    """One drive to be chosen.

    Attributes
    ----------
    positions : tuple of Position
        In the order in which the belt meets them; the first is the engine's.
    belts : tuple of BeltChoice
    moving : str
        Name of the movable pulley.
    way : Slot or Arm
        Its engaged travel, from slack to tight. [m]
    clockwise : bool
        How the belt goes round as drawn.
    speed : float
        Highest sustained engine speed, nothing being cut. [rev/s]
    least_wrap : float
        On loaded sheaves, at both ends of the travel. [rad]
    clearance : float
        Between rims. [m]
    spread : float or None
        Largest lead of the fastest driven shaft over the slowest. [1]
    stretch : float
        Share by which a belt grows in service. [1]
    slack_pull : float
        In the slack run, running, over the centrifugal pull where `mass` is 0. [N]
    friction : float
        As it acts in the groove. [1]
    mass : float
        Of the belt; 0 leaves the centrifugal pull out. [kg/m]
    rim_speed : float
        Guide for cast iron. [m/s]
    """

    positions: tuple[Position, ...]
    belts: tuple[BeltChoice, ...]
    moving: str
    way: Slot | Arm
    clockwise: bool
    speed: float
    least_wrap: float = math.pi / 2
    clearance: float = 0.003
    spread: float | None = None
    stretch: float = 0.01
    slack_pull: float = 100.0
    friction: float = 0.5123
    mass: float = 0.0
    rim_speed: float = 33.02

    def place(self, position: Position, end: float) -> tuple[float, float]:
        """Centre of a position with the movable pulley at a share of its way. [m]"""
        return self.way.at(end) if position.name == self.moving else (position.x, position.y)


@dataclass(frozen=True, slots=True)
class Candidate:
    """One drive that meets every hard constraint.

    Attributes
    ----------
    choices : tuple of Choice
        One for each position.
    belt : BeltChoice
    changed : int
        Parts changed, the belt among them.
    margin : float
        By which share the worst shaft, in its worst alternative, stays under its limit. [1]
    grip : float
        By which share the worst sheave could pull more before it slips, at the worse end of the travel. [1]
    price : float
    ties : int
        Drives from stock that are equal to this one in all four, itself included.
    """

    choices: tuple[Choice, ...]
    belt: BeltChoice
    changed: int
    margin: float
    grip: float
    price: float
    ties: int = 1


@dataclass(frozen=True, slots=True)
class Found:
    """What the search says: the drives, how many it looked at, and whether it saw them all."""

    candidates: tuple[Candidate, ...]
    looked_at: int
    exhaustive: bool
