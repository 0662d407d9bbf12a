"""Route a belt out of one plane, from an upright engine to a level deck, and tell whether it stays on.

Each wheel has its own plane. A span leaves one pitch circle and arrives at the next so that, looked at in
either wheel's plane, it is a tangent there. What it stands out of a plane is its fleet angle: a V-belt
climbs out of a groove it does not enter straight.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from snath.quantities.errors import InputError
from snath.quantities.message import Amount, Message

TURN = 2 * math.pi
TRIES = 500  # of the alternating search for a tangent; it halves its error each time on any usable layout
Vector = tuple[float, float, float]
Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Wheel:
    """One pulley in space.

    Attributes
    ----------
    name : str
        As the shop calls it.
    centre : (float, float, float)
        Middle of its groove. [m]
    axis : (float, float, float)
        Along its shaft; the belt goes round it as the fingers of the right hand when the thumb points so.
    radius : float
        Of the belt's line. [m]
    back : bool
        Whether the belt's back runs on it.
    """

    name: str
    centre: Vector
    axis: Vector
    radius: float
    back: bool = False


@dataclass(frozen=True, slots=True)
class SpaceSpan:
    """The straight run to the next wheel.

    Attributes
    ----------
    start, end : (float, float, float)
        [m]
    length : float
        [m]
    leaving, entering : float
        Fleet angles at its two ends. [rad]
    twist : float
        By which the belt turns about itself on the way. [rad]
    """

    start: Vector
    end: Vector
    length: float
    leaving: float
    entering: float
    twist: float


@dataclass(frozen=True, slots=True)
class SpaceRoute:
    """A closed route in space; `spans[i]` runs from wheel i to the next. Length in [m], wraps in [rad]."""

    wheels: tuple[Wheel, ...]
    spans: tuple[SpaceSpan, ...]
    wraps: tuple[float, ...]
    length: float


def thread(wheels: tuple[Wheel, ...], *, entering: float, leaving: float) -> SpaceRoute:
    """Lay a belt over wheels in space, in the order in which it meets them.

    Parameters
    ----------
    wheels : tuple of Wheel
        At least two. [m]
    entering, leaving : float
        Largest fleet angle allowed where a span runs onto and off a wheel. [rad]

    Returns
    -------
    SpaceRoute
        With the length on the belt's line.

    Raises
    ------
    InputError
        If a span finds no tangent, or meets a wheel at more than the allowed angle.

    References
    ----------
    .. [1] By geometry, see the top of this module; fleet angles are the caller's, with their own source.
    """
    if len(wheels) < 2:
        raise InputError("pulleys", len(wheels), Message("belt.two-pulleys"))
    following = (*wheels[1:], wheels[0])
    spans = tuple(_span(a, b) for a, b in zip(wheels, following, strict=True))
    for a, b, span in zip(wheels, following, spans, strict=True):
        _refuse_fleet(b, a, span.entering, entering, leaves=False)
        _refuse_fleet(a, b, span.leaving, leaving, leaves=True)
    wraps = tuple(_wrap(w, spans[i - 1].end, spans[i].start) for i, w in enumerate(wheels))
    arcs = math.fsum(w.radius * a for w, a in zip(wheels, wraps, strict=True))
    return SpaceRoute(wheels, spans, wraps, math.fsum(s.length for s in spans) + arcs)


def _span(a: Wheel, b: Wheel) -> SpaceSpan:
    start, end = _array(a.centre), _array(b.centre)
    for _ in range(TRIES):
        new_start = _tangent(a, end, b.name, side=-1)
        new_end = _tangent(b, new_start, a.name, side=+1)
        moved = float(np.abs(new_start - start).max() + np.abs(new_end - end).max())
        start, end = new_start, new_end
        if moved < 1e-15:
            break
    run = end - start
    length = float(np.linalg.norm(run))
    along = run / length
    return SpaceSpan(
        _vector(start),
        _vector(end),
        length,
        leaving=abs(math.asin(min(1.0, abs(float(along @ _axis(a)))))),
        entering=abs(math.asin(min(1.0, abs(float(along @ _axis(b)))))),
        twist=_twist(along, _inward(a, start), _inward(b, end)),
    )


def _tangent(wheel: Wheel, towards: Array, other: str, *, side: int) -> Array:
    """Where the belt leaves a wheel (side -1) for a point, or arrives (+1) from it, in the wheel's plane."""
    axis, centre = _axis(wheel), _array(wheel.centre)
    flat = towards - centre
    flat = flat - (flat @ axis) * axis
    apart = float(np.linalg.norm(flat))
    if apart <= wheel.radius:
        raise InputError(
            f"{wheel.name} and {other}",
            Message("belt.apart-in-plane", apart=Amount(float(apart), "length"), name=wheel.name),
            Message("belt.no-straight-run", least=Amount(wheel.radius, "length")),
        )
    first = flat / apart
    second = np.cross(axis, first)
    angle = side * math.acos(wheel.radius / apart)
    return centre + wheel.radius * (math.cos(angle) * first + math.sin(angle) * second)


def _wrap(wheel: Wheel, arrival: Vector, departure: Vector) -> float:
    a, b = _array(arrival) - _array(wheel.centre), _array(departure) - _array(wheel.centre)
    return math.atan2(float(np.cross(a, b) @ _axis(wheel)), float(a @ b)) % TURN


def _inward(wheel: Wheel, point: Array) -> Array:
    """From the belt's back to its narrow side."""
    inward = (_array(wheel.centre) - point) / wheel.radius
    return -inward if wheel.back else inward


def _twist(along: Array, one: Array, other: Array) -> float:
    one, other = one - (one @ along) * along, other - (other @ along) * along
    return abs(math.atan2(float(np.cross(one, other) @ along), float(one @ other)))


def _refuse_fleet(wheel: Wheel, other: Wheel, angle: float, limit: float, *, leaves: bool) -> None:
    if angle > limit + 1e-12:
        seen = Amount(angle, "angle")
        given = (
            Message("belt.leaves-askew", angle=seen, other=other.name)
            if leaves
            else Message("belt.enters-askew", angle=seen, other=other.name)
        )
        raise InputError(wheel.name, given, Message("belt.fleet-at-most", limit=Amount(limit, "angle")))


def _axis(wheel: Wheel) -> Array:
    axis = _array(wheel.axis)
    length = float(np.linalg.norm(axis))
    if not 0 < length < 1e9:
        raise InputError(f"axis of {wheel.name}", wheel.axis, Message("belt.axis"))
    return axis / length


def _array(vector: Vector) -> Array:
    return np.asarray(vector, dtype=np.float64)


def _vector(array: Array) -> Vector:
    return (float(array[0]), float(array[1]), float(array[2]))
