"""Describe the way a pulley can be moved along: a slot, or an arm it swings on."""

import math
from dataclasses import dataclass

from snath.formulas.belts.loop import Point


@dataclass(frozen=True, slots=True)
class Slot:
    """A straight way for a pulley, from its slack to its tight end. [m]"""

    slack: Point
    tight: Point

    def at(self, share: float) -> Point:
        """Place at 0 (slack end) to 1 (tight end). [m]"""
        (ax, ay), (bx, by) = self.slack, self.tight
        return (ax + share * (bx - ax), ay + share * (by - ay))

    @property
    def travel(self) -> float:
        """Length of the way. [m]"""
        return math.dist(self.slack, self.tight)


@dataclass(frozen=True, slots=True)
class Arm:
    """A swinging arm with a pulley at its end.

    Attributes
    ----------
    pivot : (float, float)
        [m]
    length : float
        Pivot to pulley. [m]
    slack, tight : float
        Angle of the arm at its slack and at its tight stop, from the drawing's x axis. [rad]
    """

    pivot: Point
    length: float
    slack: float
    tight: float

    def at(self, share: float) -> Point:
        """Place at 0 (slack stop) to 1 (tight stop). [m]"""
        angle = self.slack + share * (self.tight - self.slack)
        return (self.pivot[0] + self.length * math.cos(angle), self.pivot[1] + self.length * math.sin(angle))

    @property
    def travel(self) -> float:
        """Length of the way along its arc. [m]"""
        return self.length * abs(self.tight - self.slack)
