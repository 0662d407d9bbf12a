"""A sound tells the crankshaft's speed: what does it tell of a shaft that hangs on it?"""

from dataclasses import replace

from snath.decisions.machine.parts import CRANKSHAFT, Machine
from snath.decisions.reading.reading import Reading
from snath.formulas.signals.sound_result import SoundResult
from snath.quantities.errors import InputError
from snath.quantities.measured import product


def heard_at(reading: Reading, result: SoundResult, machine: Machine | None, shaft: str) -> Reading:
    """The reading at a driven shaft, by the ratio that was heard in the same recording.

    The ratio on the sheet is not used: it would turn one measurement into a seeming second one.

    Raises
    ------
    InputError
        Where that shaft has no blade whose tone was heard, or several blades could have made it.
    """
    if shaft == CRANKSHAFT:
        return reading
    bladed = {m.shaft for m in machine.members if m.kind == "blade"} if machine is not None else set()
    if result.driven_ratio is None or bladed != {shaft}:
        raise InputError(
            "at", shaft, f"must be the {CRANKSHAFT}: no blade of this shaft alone was heard beside the engine"
        )
    ratio = result.driven_ratio
    return replace(
        reading,
        shaft=shaft,
        value=None if reading.value is None else product(reading.value, ratio),
        candidates=tuple(
            replace(c, rev_s=c.rev_s * ratio.value, u=c.u * ratio.value) for c in reading.candidates
        ),
        hunting=None if reading.hunting is None else reading.hunting * ratio.value,
    )
