"""Follow many thrown objects through drag, wind and slope to their range, height and landing energy.

Equations: docs/throwing.md. Every launch is an independent system with its own step; a batch costs a few
dozen array steps however many launches it holds.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from snath.formulas.throwing.body import Body, frontal_area
from snath.formulas.throwing.drag import SPHERE_VALID_TO
from snath.formulas.throwing.forces import Forces
from snath.formulas.throwing.swarm import Swarm
from snath.quantities.errors import InputError, within
from snath.quantities.message import Message


@dataclass(frozen=True, slots=True)
class Launch:
    """How objects leave; every value may be an array, they broadcast with each other and the body.

    Attributes
    ----------
    speed : array_like
        Over ground, 0 to 1,000. [m/s]
    elevation : array_like
        Angle above level, -pi/2 to pi/2. [rad]
    height : array_like
        Above the ground below it, 0 to 100. [m]
    tail_wind, cross_wind : array_like
        Wind along and across the throw, -60 to 60. [m/s]
    slope : array_like
        Rise of the ground in the direction of the throw, an angle of -1 to 1. [rad]
    """

    speed: object
    elevation: object
    height: object = 0.0
    tail_wind: object = 0.0
    cross_wind: object = 0.0
    slope: object = 0.0


@dataclass(frozen=True, slots=True)
class Air:
    """The air and the pull of the earth.

    Attributes
    ----------
    density : float
        Over 0 and up to 2. [kg/m^3]
    viscosity : float
        Dynamic, over 0 and up to 0.001. [Pa s]
    gravity : float
        0 to 30; without it nothing lands. [m/s^2]
    """

    density: float
    viscosity: float
    gravity: float


@dataclass(frozen=True, slots=True)
class Flights:
    """What became of every launch; arrays of one shape.

    Attributes
    ----------
    time : ndarray
        In the air. [s]
    distance, drift, height : ndarray
        Level way along and across the throw, and height above the ground below the launch, at the end. [m]
    apex : ndarray
        Highest point above the level of the ground below the launch. [m]
    speed, energy : ndarray
        At the end. [m/s], [J]
    carry : ndarray
        Farthest level way at which it still had `carrying` joules; 0 where it never had. [m]
    landed : ndarray of bool
        False where the time given ran out first.
    """

    time: np.ndarray
    distance: np.ndarray
    drift: np.ndarray
    height: np.ndarray
    apex: np.ndarray
    speed: np.ndarray
    energy: np.ndarray
    carry: np.ndarray
    landed: np.ndarray


def fly(
    launch: Launch,
    body: Body,
    air: Air,
    *,
    carrying: Any = 1e9,
    longest: Any = 120.0,
    tolerance: float = 1e-9,
) -> Flights:
    """Follow every launch to the ground, or for the time given.

    Parameters
    ----------
    launch : Launch
    body : Body
    air : Air
    carrying : array_like
        Energy whose reach is asked for, over 0. [J]
    longest : array_like
        Time after which a flight is broken off, over 0 and up to 1,000. [s]
    tolerance : float
        Error allowed in each step, relative and in metres and metres per second, 1e-12 to 1e-3. [1]

    Returns
    -------
    Flights

    Raises
    ------
    InputError
        If a value is outside its range, if the shapes do not broadcast, or if a smooth sphere would
        fly beyond the Reynolds number its drag is known for.

    References
    ----------
    .. [1] Mechanics; docs/throwing.md. Method: see `stepper`.
    """
    kept = float(within("tolerance", tolerance, 1e-12, 1e-3))
    shape, columns = _columns(launch, body, carrying, longest)
    forces = _forces(columns, body, air)
    state = _start(columns)
    if body.drag_coefficient is None:
        _refuse_unknown_drag(forces, state)
    rows = Swarm(
        forces, state, carrying=columns["carrying"], longest=columns["longest"], tolerance=kept
    ).run()
    ended: Any = [row.reshape(shape) for row in (*rows[:8], rows[8] > 0.5)]
    return Flights(*ended)


def _columns(launch: Any, body: Any, carrying: Any, longest: Any) -> Any:
    """Every input checked and broadcast to one flat length, by name."""
    right = np.pi / 2
    constant = 0.0 if body.drag_coefficient is None else body.drag_coefficient
    checked = {
        "speed": within("speed", launch.speed, 0, 1000, "m/s"),
        "elevation": within("elevation", launch.elevation, -right, right, "rad"),
        "height": within("height", launch.height, 0, 100, "m"),
        "tail": within("tail_wind", launch.tail_wind, -60, 60, "m/s"),
        "cross": within("cross_wind", launch.cross_wind, -60, 60, "m/s"),
        "slope": within("slope", launch.slope, -1, 1, "rad"),
        "mass": within("mass", body.mass, 0, 20, "kg", open_low=True),
        "diameter": within("diameter", body.diameter, 0, 1, "m", open_low=True),
        "drag": within("drag_coefficient", constant, 0, 3),
        "carrying": within("carrying", carrying, 0, 1e12, "J", open_low=True),
        "longest": within("longest", longest, 0, 1000, "s", open_low=True),
    }
    shapes = [np.shape(column) for column in checked.values()]
    try:
        shape = np.broadcast_shapes(*shapes)
    except ValueError:
        raise InputError("launch and body", shapes, Message("fault.broadcast")) from None
    return shape, {
        name: np.broadcast_to(column, shape).astype(float).ravel() for name, column in checked.items()
    }


def _forces(columns: Any, body: Any, air: Any) -> Any:
    density = within("air_density", air.density, 0, 2, "kg/m^3", open_low=True)
    viscosity = within("air_viscosity", air.viscosity, 0, 1e-3, "Pa s", open_low=True)
    gravity = within("gravity", air.gravity, 0, 30, "m/s^2")
    return Forces(
        mass=columns["mass"],
        pressure=density * frontal_area(diameter=columns["diameter"]) / (2 * columns["mass"]),
        reynolds=density * columns["diameter"] / viscosity,
        drag=None if body.drag_coefficient is None else columns["drag"],
        tail=columns["tail"],
        cross=columns["cross"],
        rise=np.tan(columns["slope"]),
        gravity=np.full_like(columns["mass"], gravity),
    )


def _start(columns: Any) -> Any:
    speed, elevation = columns["speed"], columns["elevation"]
    nothing = np.zeros_like(speed)
    level, up = speed * np.cos(elevation), speed * np.sin(elevation)
    return np.array([nothing, nothing, columns["height"], level, nothing, up])


def _refuse_unknown_drag(forces: Any, state: Any) -> None:
    """Drag of a sphere is asked for at its launch speed and below; wind adds, a fall adds little."""
    wind = np.hypot(forces.tail, forces.cross)
    fastest = np.sqrt((state[3:] ** 2).sum(axis=0)) + wind
    worst = float((forces.reynolds * fastest).max(initial=0.0))
    if worst > SPHERE_VALID_TO:
        raise InputError(
            "speed",
            Message("throw.reynolds", reynolds=float(f"{worst:.3g}")),
            Message("throw.drag-known-to", most=SPHERE_VALID_TO),
        )
