"""Tell from a reading of the idle whether a tachometer counts every turn."""

from collections.abc import Sequence
from typing import Literal

from snath.decisions.machine.parts import CRANKSHAFT, Machine
from snath.decisions.reading.reading import Reading

NEAR = 1.25  # times the sheet's idle, within which an idle fits it
OFF = 2**0.5  # times the sheet's idle, beyond which it is another multiple


def idle_shown(reading: Reading, idles: Sequence[Reading]) -> float | None:
    """What the same instrument showed at the crankshaft with the throttle closed. [rev/s]"""
    by = reading.instrument or reading.method
    for one in idles:
        if one.value is not None and one.shaft == CRANKSHAFT and by == (one.instrument or one.method):
            return one.value.value
    return None


def counts(machine: Machine, shown: float | None) -> Literal["not known", "right", "wrong"]:
    """Whether an instrument that showed this idle [rev/s] counts every turn; in between it is not known."""
    if shown is None or machine.engine.idle is None:
        return "not known"
    factor = max(shown / machine.engine.idle, machine.engine.idle / shown)
    return "right" if factor <= NEAR else "wrong" if factor > OFF else "not known"
