"""Work out an instrument's error and its uncertainty from a check beside a reference."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from snath.quantities.errors import InputError, within
from snath.quantities.message import Message

LARGEST_ERROR = 0.1  # beyond it the marks or the shaft were mistaken, not the instrument


@dataclass(frozen=True, slots=True)
class Point:
    """Both figures of one comparison and the reference's standard uncertainty. [rev/s]"""

    read: float
    reference: float
    u_reference: float = 0.0


@dataclass(frozen=True, slots=True)
class Correction:
    """What to take off a reading, its standard uncertainty, and the change since the check before.

    All are fractions of the reading; `drift` is None at the first check.
    """

    correction: float
    u_correction: float
    drift: float | None


def correction_from(
    points: Sequence[Point], *, resolution: float = 0.0, before: float | None = None
) -> Correction:
    """The correction a check gives.

    Parameters
    ----------
    points : sequence of Point
        The comparisons of one day, at least one. [rev/s]
    resolution : float
        Last digit the instrument shows. [rev/s]
    before : float or None
        Correction of the check before, as a fraction; None where there is none.

    Returns
    -------
    Correction
        Mean of (read - reference) / read. Its uncertainty adds in squares: the worst point's reference
        and half digit, the spread of the points, and the drift since the last check, which may go on
        until the next (each taken as a rectangular half width; common practice, no source).

    Raises
    ------
    InputError
        If there is no point, a figure is not a speed, or both differ by more than a tenth.
    """
    if not points:
        raise InputError("check", "nothing", Message("reading.check-needs-one"))
    errors = [_error(point) for point in points]
    correction = sum(errors) / len(errors)
    drift = None if before is None else correction - before
    reference = max(point.u_reference / point.reference for point in points)
    halves = (
        max(resolution / 2 / point.read for point in points),
        (max(errors) - min(errors)) / 2,
        drift or 0.0,
    )
    u = math.sqrt(reference**2 + sum(half**2 for half in halves) / 3)
    return Correction(correction, u, drift)


def _error(point: Point) -> float:
    read = within("read", point.read, 0, 1000, "rev/s", open_low=True)
    reference = within("reference", point.reference, 0, 1000, "rev/s", open_low=True)
    within("u_reference", point.u_reference, 0, reference, "rev/s")
    error: float = (read - reference) / read
    if abs(error) > LARGEST_ERROR:
        found = Message("reading.beside", read=read, reference=reference)
        raise InputError("read", found, Message("reading.check-far"))
    return error
