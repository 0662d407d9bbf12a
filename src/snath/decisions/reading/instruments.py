"""What a tachometer's plate and its last check say about a reading taken with it."""

from dataclasses import dataclass
from typing import Literal

InstrumentKind = Literal["optical", "contact", "inductive", "stroboscope", "reed", "recording", "other"]


@dataclass(frozen=True, slots=True)
class Instrument:
    """One instrument of the shop.

    Attributes
    ----------
    id, name : str
        How the shop calls it.
    kind : str
        How it reads.
    accuracy : float
        Share of the reading, as a fraction (0.0005 for 0.05 %).
    digits : float
        Plus so much. [rev/s]
    resolution : float
        Last digit shown. [rev/s]
    per_turn : float
        Marks or pulses it expects per turn.
    checked_on, due_on : str
        ISO dates of its last and its next check; empty never.
    bought_on : str
        ISO date; empty where nobody said.
    correction, u_correction : float
        Known error to take off and its standard uncertainty, as fractions of the reading.
    """

    id: str
    name: str
    kind: InstrumentKind = "optical"
    accuracy: float = 0.0
    digits: float = 0.0
    resolution: float = 0.0
    per_turn: float = 1.0
    checked_on: str = ""
    due_on: str = ""
    correction: float = 0.0
    u_correction: float = 0.0
    bought_on: str = ""


def accuracy_known(instrument: Instrument | None) -> bool:
    """Whether plate or last check say how far off it may be; its last digit says only how finely it shows."""
    return instrument is not None and (
        instrument.accuracy > 0 or instrument.digits > 0 or instrument.u_correction > 0
    )


def overdue(instrument: Instrument, on: str) -> bool:
    """Whether its next check is past on that day, or was never set; dates are ISO and compare as text."""
    return not instrument.due_on or instrument.due_on < on
