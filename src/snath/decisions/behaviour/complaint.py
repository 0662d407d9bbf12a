"""Work out the no-load speed behind a loaded speed somebody asks for, hold it against the ceiling, and back."""

from dataclasses import dataclass

from snath.decisions.behaviour.ranges import turning
from snath.formulas.governor.droop import loaded_speed, no_load_speed
from snath.quantities.measured import Measured, combine

ONE_SIDED = 1.645  # 95 %


@dataclass(frozen=True, slots=True)
class Complaint:
    """What a wished-for loaded speed asks of the governor.

    Attributes
    ----------
    loaded : Measured
        What was wished for. [rev/s]
    no_load : Measured
        The setting it would take. [rev/s]
    allowed : bool or None
        Whether the upper end of that setting (95 %, one side) is at or under the ceiling; None without one.
    most_loaded : Measured or None
        Loaded speed this engine can have with its no-load speed at the ceiling. [rev/s]
    missing : float
        How far the wish lies over that; 0 where it is allowed. [rev/s]
    """

    loaded: Measured
    no_load: Measured
    allowed: bool | None
    most_loaded: Measured | None
    missing: float


def from_loaded(*, loaded: Measured, droop: Measured, ceiling: float | None) -> Complaint:
    """The no-load speed behind a loaded one, held against the ceiling on no-load speed.

    Parameters
    ----------
    loaded : Measured
        Wished for. [rev/s]
    droop : Measured
        Of this engine under that load, on the loaded speed. [1]
    ceiling : float or None
        Highest no-load speed any limit allows, on the same shaft; None not known. [rev/s]

    Raises
    ------
    InputError
        If a value is out of its range.
    """
    turning("wanted_loaded", loaded.value)
    if ceiling is not None:
        turning("ceiling", ceiling)
    top = float(no_load_speed(loaded=loaded.value, droop=droop.value))
    no_load = combine(top, [(loaded, 1 + droop.value), (droop, loaded.value)])
    if ceiling is None:
        return Complaint(loaded, no_load, None, None, 0.0)
    most = to_loaded(no_load=Measured(ceiling), droop=droop)
    allowed = no_load.value + ONE_SIDED * no_load.u <= ceiling
    missing = 0.0 if allowed else max(0.0, loaded.value - most.value)
    return Complaint(loaded, no_load, allowed, most, missing)


def to_loaded(*, no_load: Measured, droop: Measured) -> Measured:
    """The loaded speed under a no-load one. [rev/s]"""
    under = float(loaded_speed(no_load=no_load.value, droop=droop.value))
    share = 1 + droop.value
    return combine(under, [(no_load, 1 / share), (droop, -no_load.value / share**2)])
