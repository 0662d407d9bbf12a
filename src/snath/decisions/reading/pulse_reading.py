"""Make one reading of counted pulses, knowing what the machine's ignition gives a turn."""

from snath.decisions.machine.parts import CRANKSHAFT, Condition, Engine, Machine
from snath.decisions.reading.reading import Reading
from snath.formulas.signals.pulses.read import USUAL
from snath.formulas.signals.pulses.result import PulseResult
from snath.quantities.errors import InputError
from snath.quantities.message import Message


def sparks_per_turn(engine: Engine) -> float:
    """Sparks on one plug lead in one turn of the crankshaft.

    A two-stroke fires every turn and a four-stroke every second one, but a flywheel magneto sparks every
    turn all the same, and a double-spark ignition twice as often (from a pick-up's manual, section 2.2).

    Raises
    ------
    InputError
        Where the sheet does not say enough to tell.
    """
    if engine.ignition == "no spark":
        raise InputError("per turn", "spark", Message("pulses.no-spark"))
    if engine.strokes == 2 or (engine.strokes == 4 and engine.ignition == "wasted spark"):
        each = 1.0
    elif engine.strokes == 4 and engine.ignition == "spark every cycle":
        each = 0.5
    elif engine.strokes == 4 and engine.ignition == "double spark":
        each = 1.0
    else:
        raise InputError("per turn", "spark", Message("pulses.sheet-ignition"))
    return 2 * each if engine.ignition == "double spark" else each


def likely_per_turn(machine: Machine | None) -> tuple[tuple[float, float], ...]:
    """Pulses a turn to try where nobody says how many: a mark, or the sparks the sheet speaks of."""
    if machine is None or machine.engine.ignition is None:
        return USUAL
    try:
        return tuple({1.0: 0.5, sparks_per_turn(machine.engine): 0.5}.items())
    except InputError:
        return USUAL


def reading_from_pulses(
    result: PulseResult,
    *,
    shaft: str = CRANKSHAFT,
    condition: Condition = "blades in air",
    at: str = "",
    evidence: str = "",
) -> Reading:
    """One reading where the pulses leave one speed, else an undecided one naming all that fit."""
    decided = result.decided and result.steady is not None
    return Reading(
        shaft=shaft,
        condition=condition,
        method="pulses",
        value=result.steady if decided else None,
        decided=decided,
        candidates=result.candidates,
        at=at,
        why=_why(result, decided),
        next_steps=() if decided else _next_steps(result),
        confirmed=decided,
        evidence=evidence,
    )


def _why(result: PulseResult, decided: bool) -> Message:
    if decided:
        return Message("pulses.decided", found=result.found, so=result.candidates[0].why)
    if result.notes:
        return result.notes[0]
    return Message("pulses.not-counted", found=result.found)


def _next_steps(result: PulseResult) -> tuple[Message, ...]:
    if not result.candidates:
        return (Message("pulses.check-pickup"),)
    return (Message("pulses.say-per-turn"), Message("pulses.second-method"))
