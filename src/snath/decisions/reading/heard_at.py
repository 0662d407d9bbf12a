"""Turn the crankshaft's speed, heard in a sound, into that of a shaft that hangs on it."""

from dataclasses import replace

from snath.decisions.machine.parts import CRANKSHAFT, Machine
from snath.decisions.reading.reading import Reading
from snath.formulas.signals.candidates import Track
from snath.formulas.signals.sound_result import SoundResult
from snath.quantities.errors import InputError
from snath.quantities.measured import Measured, exact, product
from snath.quantities.message import Message


def heard_ratio(result: SoundResult, machine: Machine | None, shaft: str) -> Measured:
    """Speed of a shaft over the crankshaft's: rigid, or as heard in the same recording.

    The ratio of a belt on the sheet is not used: it would turn one measurement into a seeming second one.

    Raises
    ------
    InputError
        Where that shaft has no blade whose tone was heard, or several blades could have made it.
    """
    rigid = _rigid_ratio(machine, shaft)
    if rigid is not None:
        return exact(rigid)
    bladed = {m.shaft for m in machine.members if m.kind == "blade"} if machine is not None else set()
    if result.driven_ratio is None or bladed != {shaft}:
        raise InputError("at", shaft, Message("reading.not-heard-at", crankshaft=CRANKSHAFT))
    return result.driven_ratio


def heard_at(reading: Reading, ratio: Measured, shaft: str) -> Reading:
    """The reading of the crankshaft at a driven shaft."""
    if shaft == CRANKSHAFT:
        return reading
    return replace(
        reading,
        shaft=shaft,
        value=None if reading.value is None else product(reading.value, ratio),
        candidates=tuple(
            replace(c, rev_s=c.rev_s * ratio.value, u=c.u * ratio.value) for c in reading.candidates
        ),
        hunting=_times(reading.hunting, ratio.value),
        lowest=_times(reading.lowest, ratio.value),
        highest=_times(reading.highest, ratio.value),
    )


def _times(speed: float | None, factor: float) -> float | None:
    return None if speed is None else speed * factor


def track_at(track: Track, ratio: Measured, shaft: str) -> Track:
    """The course of the crankshaft at a driven shaft."""
    if shaft == CRANKSHAFT:
        return track
    return replace(
        track,
        shaft=shaft,
        rev_s=tuple(v * ratio.value for v in track.rev_s),
        u=tuple(u * ratio.value for u in track.u),
    )


def _rigid_ratio(machine: Machine | None, shaft: str) -> float | None:
    """Ratio of a shaft that is bolted to the crankshaft; None where anything else lies between."""
    ratio = 1.0
    while shaft != CRANKSHAFT:
        above = [c for c in machine.couplings if c.driven == shaft] if machine is not None else []
        if not above or above[0].kind != "direct" or len(above[0].alternatives) != 1:
            return None
        ratio *= above[0].alternatives[0].value.value
        shaft = above[0].driver
    return ratio
