"""Work out how far a throw could get, for teaching only: farthest landings, never a clear distance."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from snath.decisions.behaviour.thrown import ThrowInput
from snath.formulas.throwing.body import Body, sphere_diameter
from snath.formulas.throwing.flight import Air, Flights, Launch, fly
from snath.formulas.throwing.launch import launch_speed
from snath.quantities.constants import STANDARD_GRAVITY
from snath.quantities.errors import InputError

ROUGH, SMOOTHER = 1.1, 0.7  # drag coefficients of broken stone; common practice, no source
ANGLES = 25
TOLERANCE = 1e-6


@dataclass(frozen=True, slots=True)
class Reach:
    """How far one thing could get at one stage, squarely struck: for teaching only.

    Attributes
    ----------
    thing, stage : str
    rough, smoother, sphere : float or None
        Farthest landing for drag coefficients 1.1 and 0.7, and for a smooth ball; None where its drag at
        that speed is not known. [m]
    apex : float
        Highest. [m]
    carry : float or None
        Farthest at which it still carries `ThrowInput.carrying`, over all three; never one to stand at. [m]
    paths : tuple of tuple of (float, float)
        Way and height along the farthest flight of each, to draw. [m]
    """

    thing: str
    stage: str
    rough: float
    smoother: float
    sphere: float | None
    apex: float
    carry: float
    paths: tuple[tuple[tuple[float, float], ...], ...]


def reaches(given: ThrowInput, angles: tuple[float, float]) -> Iterator[Reach]:
    """Farthest flights of every thing at every stage, out of the opening."""
    for thing in given.things:
        diameter = float(sphere_diameter(mass=thing.mass, density=thing.density))
        for stage in given.stages:
            speed = float(launch_speed(tip_speed=stage.tip_speed, restitution=given.bounce_high))
            bodies = [Body(thing.mass, diameter, drag) for drag in (ROUGH, SMOOTHER, None)]
            flown = [_farthest(given, speed, angles, body) for body in bodies]
            known = [one for one in flown if one is not None]
            yield Reach(
                thing=thing.name,
                stage=stage.stage,
                rough=known[0][0],
                smoother=known[1][0],
                sphere=known[2][0] if len(known) > 2 else None,
                apex=max(one[1] for one in known),
                carry=max(one[2] for one in known),
                paths=tuple(one[3] for one in known),
            )


def _farthest(
    given: ThrowInput, speed: float, angles: tuple[float, float], body: Body
) -> tuple[float, float, float, tuple[tuple[float, float], ...]] | None:
    """Farthest landing, highest point, farthest reach of the energy, path; None for a ball too fast."""
    spread = np.linspace(*angles, ANGLES)
    try:
        flights = _fly(given, speed, spread, body)
    except InputError as fault:
        if fault.field == "speed" and body.drag_coefficient is None:
            return None
        raise
    best = int(np.argmax(flights.distance))
    times = np.linspace(0, float(flights.time[best]), 40)[1:]
    path = _fly(given, speed, spread[best], body, longest=np.maximum(times, 1e-6))
    points = tuple(zip(path.distance.tolist(), path.height.tolist(), strict=True))
    assert given.opening is not None
    start = (0.0, given.opening.struck_height)
    return (
        float(flights.distance.max()),
        float(flights.apex.max()),
        float(flights.carry.max()),
        (start, *points),
    )


def _fly(given: ThrowInput, speed: float, elevation: object, body: Body, longest: object = 120.0) -> Flights:
    around = given.surroundings
    assert given.opening is not None
    launch = Launch(
        speed=speed,
        elevation=elevation,
        height=given.opening.struck_height,
        tail_wind=around.wind,
        slope=around.slope,
    )
    air = Air(around.density, around.viscosity, float(STANDARD_GRAVITY))
    return fly(launch, body, air, carrying=given.carrying, longest=longest, tolerance=TOLERANCE)
