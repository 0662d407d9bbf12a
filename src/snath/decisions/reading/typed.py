"""Make a reading of what somebody typed: repeats from a display, or a speed with its stated doubt."""

from collections.abc import Sequence

from snath.decisions.machine.parts import CRANKSHAFT, Condition
from snath.decisions.reading.budget import taken, typed_budget
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.reading import Reading
from snath.quantities.errors import InputError, within
from snath.quantities.message import Message
from snath.quantities.units import show

REPEATS_WANTED = 3
SPREAD_MOST = 0.10  # repeats further apart than this are not of one speed; a slip of a digit shows here


def typed_reading(
    repeats: Sequence[float],
    *,
    shaft: str = CRANKSHAFT,
    condition: Condition = "blades in air",
    instrument: Instrument | None = None,
    stated_u: float | None = None,
    at: str = "",
    hunting: float | None = None,
) -> Reading:
    """A reading from what was typed.

    Parameters
    ----------
    repeats : sequence of float
        One or more readings of the same setting. [rev/s]
    shaft, condition, at
        Where, under which condition and when.
    instrument : Instrument or None
        What it was read with.
    stated_u : float or None
        Standard uncertainty the reader stands for, over 0: no reading is exact. [rev/s]
    hunting : float or None
        Half the swing seen, where the engine hunts. [rev/s]

    Raises
    ------
    InputError
        If there is no reading, one is out of range, they are more than a tenth apart, or no doubt at all is stated.
    """
    values = _values(repeats)
    _refuse_no_doubt(stated_u)
    value = typed_budget(values, instrument=instrument, stated_u=stated_u, taken=taken(shaft, condition, at))
    return Reading(
        shaft=shaft,
        condition=condition,
        method="typed",
        value=value,
        decided=True,
        instrument=instrument.id if instrument else "",
        at=at,
        repeats=values,
        hunting=hunting,
    )


def _values(repeats: Sequence[float]) -> tuple[float, ...]:
    """The readings, where they can be of one speed. [rev/s]"""
    if not repeats:
        raise InputError("reading", "nothing", Message("reading.type-one"))
    values = tuple(float(within("reading", value, 0.5, 1000, "rev/s")) for value in repeats)
    if max(values) - min(values) > SPREAD_MOST * min(values):
        shown = ", ".join(f"{value * 60:.0f}" for value in values)
        raise InputError("reading", f"{shown} rpm", Message("reading.repeats-apart"))
    return values


def _refuse_no_doubt(stated_u: float | None) -> None:
    if stated_u is not None and within("u", stated_u, 0, 100, "rev/s") == 0:
        raise InputError("u", show(stated_u, "rpm", digits=0), Message("reading.none-exact"))
