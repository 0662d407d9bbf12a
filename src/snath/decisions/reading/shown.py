"""Make a reading of what an instrument's display showed, as its kind counts."""

from collections.abc import Sequence
from typing import Any

from snath.decisions.machine.parts import CRANKSHAFT, Engine
from snath.decisions.reading.inductive import inductive_reading
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.reading import Reading
from snath.decisions.reading.typed import typed_reading


def shown_reading(
    shown: Sequence[float],
    *,
    engine: Engine,
    instrument: Instrument | None,
    shaft: str = CRANKSHAFT,
    **beside: Any,
) -> Reading:
    """The reading of a display; one that counts sparks reads the crankshaft.

    Parameters
    ----------
    shown : sequence of float
        [rev/s]
    engine, instrument, shaft, **beside
        As in `inductive_reading` and `typed_reading`.

    Raises
    ------
    InputError
        As they do.
    """
    if instrument is not None and instrument.of_kind.counts == "sparks":
        return inductive_reading(shown, engine=engine, instrument=instrument, **beside)
    return typed_reading(shown, shaft=shaft, instrument=instrument, **beside)
