"""List the kinds of instrument, one entry each, and hold what plate and last check of one say.

A further kind is one entry here and its words, which `tests/house/test_messages.py` asks for: commands, job file,
shelf, pages and paper follow from it.
"""

from dataclasses import dataclass, replace
from typing import Literal

from snath.quantities.errors import InputError
from snath.quantities.message import Message


@dataclass(frozen=True, slots=True)
class InstrumentKind:
    """One kind of instrument.

    Attributes
    ----------
    name : str
        As jobs and records spell it.
    share : float
        How far off one may be of which nothing is known, of what it shows, to either side. No standard and no maker
        says so: it is what careful shops allow for (common practice, no source). It covers the scale only.
    multiple : bool
        Whether it may show half of the true speed, or another part of it: no share covers that.
    idle_tells : bool
        Whether that shows at idle too, read with the same instrument.
    counts : str
        What it counts: "turns", "sparks" (which the engine's ignition turns into turns), "flashes" (whose rates are
        a reading of their own), or "signal" (a recording, read by a method).
    """

    name: str
    share: float
    multiple: bool = False
    idle_tells: bool = False
    counts: Literal["turns", "sparks", "flashes", "signal"] = "turns"


INSTRUMENT_KINDS = {
    kind.name: kind
    for kind in (
        InstrumentKind("optical", 0.01),
        InstrumentKind("contact", 0.02),
        InstrumentKind("inductive", 0.02, multiple=True, idle_tells=True, counts="sparks"),
        InstrumentKind("stroboscope", 0.02, multiple=True, counts="flashes"),
        InstrumentKind("reed", 0.05, multiple=True, idle_tells=True),
        InstrumentKind("recording", 0.05, multiple=True, counts="signal"),
        InstrumentKind("other", 0.05),
    )
}
UNKNOWN = "other"
# Those that hang on a wall and show a speed: what a shop is asked for where it has entered none.
TACHOMETERS = tuple(name for name, kind in INSTRUMENT_KINDS.items() if kind.counts in ("turns", "sparks"))


@dataclass(frozen=True, slots=True)
class Instrument:
    """One instrument of the shop.

    Attributes
    ----------
    id, name : str
        How the shop calls it.
    kind : str
        How it reads, one of `INSTRUMENT_KINDS`.
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
    kind: str = "optical"
    accuracy: float = 0.0
    digits: float = 0.0
    resolution: float = 0.0
    per_turn: float = 1.0
    checked_on: str = ""
    due_on: str = ""
    correction: float = 0.0
    u_correction: float = 0.0
    bought_on: str = ""

    def __post_init__(self) -> None:
        if self.kind not in INSTRUMENT_KINDS:
            raise InputError("kind", self.kind, Message("fault.one-of", known=tuple(INSTRUMENT_KINDS)))

    @property
    def of_kind(self) -> InstrumentKind:
        """What its kind is taken for."""
        return INSTRUMENT_KINDS[self.kind]


CHECKED = Instrument("checked", "checked tachometer, good to 0.1 %", accuracy=0.001, resolution=1 / 60)


def instrument_of_kind(kind: str, *, accuracy: float = 0.0) -> Instrument:
    """An instrument of which nothing is known but its kind, or also how far off it is, as a share of what it shows."""
    return replace(CHECKED, kind=kind, accuracy=accuracy) if accuracy > 0 else Instrument(kind, kind, kind)


def accuracy_known(instrument: Instrument | None) -> bool:
    """Whether plate or last check say how far off it may be; its last digit says only how finely it shows."""
    return instrument is not None and (
        instrument.accuracy > 0 or instrument.digits > 0 or instrument.u_correction > 0
    )


def overdue(instrument: Instrument, on: str) -> bool:
    """Whether its next check is past on that day, or was never set; dates are ISO and compare as text."""
    return not instrument.due_on or instrument.due_on < on
