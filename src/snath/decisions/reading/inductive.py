"""Correct an inductive tachometer that was set for another ignition."""

from collections.abc import Sequence
from dataclasses import replace

from snath.decisions.machine.parts import CRANKSHAFT, Condition, Engine
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.pulse_reading import sparks_per_turn
from snath.decisions.reading.reading import Reading
from snath.decisions.reading.typed import typed_reading
from snath.formulas.signals.candidates import Candidate
from snath.quantities.errors import InputError
from snath.quantities.measured import scaled
from snath.quantities.message import Message

POSSIBLE = {
    0.5: Message("reading.spark-in-two"),
    1.0: Message("reading.spark-a-turn"),
    2.0: Message("reading.double-spark"),
}


def inductive_reading(
    shown: Sequence[float],
    *,
    engine: Engine,
    instrument: Instrument,
    condition: Condition = "blades in air",
    stated_u: float | None = None,
    at: str = "",
    hunting: float | None = None,
) -> Reading:
    """A reading from what an inductive tachometer showed.

    Parameters
    ----------
    shown : sequence of float
        Its display, as crankshaft speed by its own setting. [rev/s]
    engine : Engine
        Its strokes and ignition say how many sparks a turn really gives; where they do not, every
        possibility is a candidate and the reading is undecided.
    instrument : Instrument
        `per_turn` is the number of sparks a turn it is set to.

    Raises
    ------
    InputError
        As `typed_reading`, or if the engine has no spark.
    """
    if engine.ignition == "no spark":
        raise InputError("instrument", instrument.name, Message("reading.not-inductive"))
    reading = typed_reading(
        shown,
        shaft=CRANKSHAFT,
        condition=condition,
        instrument=instrument,
        stated_u=stated_u,
        at=at,
        hunting=hunting,
    )
    try:
        sparks = sparks_per_turn(engine)
    except InputError:
        return _undecided(reading, instrument)
    assert reading.value is not None
    factor = instrument.per_turn / sparks
    return replace(
        reading,
        method="inductive",
        value=scaled(reading.value, factor),
        repeats=tuple(value * factor for value in reading.repeats),
        hunting=None if hunting is None else hunting * factor,
    )


def _undecided(reading: Reading, instrument: Instrument) -> Reading:
    assert reading.value is not None
    candidates = tuple(
        Candidate(
            rev_s=reading.value.value * instrument.per_turn / sparks,
            u=reading.value.u * instrument.per_turn / sparks,
            weight=1 / len(POSSIBLE),
            order=how,
            why=Message("reading.if-ignition", how=how),
        )
        for sparks, how in POSSIBLE.items()
    )
    return replace(
        reading,
        method="inductive",
        value=None,
        decided=False,
        candidates=candidates,
        confirmed=False,
        why=Message("reading.sparks-unknown"),
        next_steps=(Message("reading.say-ignition"), Message("reading.cross-check")),
    )
