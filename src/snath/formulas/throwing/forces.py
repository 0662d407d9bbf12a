"""Give gravity and drag along the wind on many objects in the air at once."""

from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from snath.formulas.throwing.drag import sphere_drag

SLOWEST = 0.1  # Reynolds number under which drag is taken as at this one: it keeps 24/R finite at rest
FASTEST = 5e6


@dataclass(frozen=True, slots=True)
class Forces:
    """Flat arrays, one element a flight; rows of a state are along, across, up, then their speeds.

    Attributes
    ----------
    mass : ndarray
        [kg]
    pressure : ndarray
        Air density times area over twice the mass. [1/m]
    reynolds : ndarray
        Reynolds number for each metre per second through the air. [s/m]
    drag : ndarray or None
        Constant drag coefficient; None for smooth spheres. [1]
    tail, cross : ndarray
        Wind along and across. [m/s]
    rise : ndarray
        Of the ground, for each metre along. [1]
    gravity : ndarray
        [m/s^2]
    """

    mass: np.ndarray
    pressure: np.ndarray
    reynolds: np.ndarray
    drag: np.ndarray | None
    tail: np.ndarray
    cross: np.ndarray
    rise: np.ndarray
    gravity: np.ndarray

    def take(self, chosen: Any) -> Any:
        """The forces on some of the flights."""
        columns = {field.name: getattr(self, field.name) for field in fields(self)}
        some: dict[str, Any] = {n: None if c is None else c[chosen] for n, c in columns.items()}
        return Forces(**some)

    def rate(self, state: Any) -> Any:
        """Time derivative of position and speed."""
        along, across, up = state[3] - self.tail, state[4] - self.cross, state[5]
        air_speed = np.sqrt(along * along + across * across + up * up)
        brake = self.pressure * air_speed * self._coefficient(air_speed)
        slope = np.empty_like(state)
        slope[:3] = state[3:]
        slope[3] = -brake * along
        slope[4] = -brake * across
        slope[5] = -brake * up - self.gravity
        return slope

    def above(self, state: Any) -> Any:
        """Height above the ground under it. [m]"""
        return state[2] - self.rise * state[0]

    def climb(self, state: Any) -> Any:
        """How fast that height grows. [m/s]"""
        return state[5] - self.rise * state[3]

    def energy(self, state: Any) -> Any:
        """Energy of motion over ground. [J]"""
        return self.mass * (state[3:] ** 2).sum(axis=0) / 2

    def _coefficient(self, air_speed: Any) -> Any:
        if self.drag is not None:
            return self.drag
        return sphere_drag(reynolds=np.clip(self.reynolds * air_speed, SLOWEST, FASTEST))
