"""From what a machine is to what to listen for, and from what was heard to one reading or "cannot tell"."""

from snath.decisions.machine.parts import CRANKSHAFT, Condition, Machine
from snath.decisions.reading.reading import Reading
from snath.formulas.signals.candidates import Driven, Orders
from snath.formulas.signals.sound_result import SoundResult

OPEN_RANGE = (700 / 60, 15_000 / 60)  # from idle of the slowest mower to a two-stroke at its ignition limiter
USUAL_IDLE, USUAL_TOP = 1750 / 60, 3600 / 60  # common practice, no source; where the sheet has neither
EVEN_FIRING = {
    (4, 1): (0.0,),
    (4, 2): (0.0, 0.5),
    (4, 4): (0.0, 0.25, 0.5, 0.75),
    (2, 1): (0.0,),
    (2, 2): (0.0, 0.5),
}


def orders_from_machine(machine: Machine | None) -> Orders:
    """What to listen for: strokes, firing and ratios; never a limit, target or maker's figure."""
    if machine is None or machine.engine.prime_mover != "engine":
        return Orders(*OPEN_RANGE)
    engine = machine.engine
    low = (engine.idle or USUAL_IDLE) / 2
    high = 1.5 * (engine.rated_max or USUAL_TOP)
    turns = {4: 2, 2: 1}.get(engine.strokes or 0)
    firings = engine.firings
    if firings is None and engine.strokes and engine.cylinders == 1:
        firings = (0.0,)
    return Orders(low, high, turns if firings else None, firings, _driven(machine))


def _driven(machine: Machine) -> tuple[Driven, ...]:
    """Bladed shafts that hang on the crankshaft, with the ratios they may have."""
    found = []
    for member in machine.members:
        for coupling in machine.couplings:
            if (
                member.kind == "blade"
                and coupling.driven == member.shaft
                and coupling.driver == CRANKSHAFT
                and coupling.kind != "direct"
            ):
                values = [ratio.value.value for ratio in coupling.alternatives]
                found.append(Driven(min(values) * 0.95, max(values) * 1.02))
    return tuple(dict.fromkeys(found))


def reading_from_sound(
    result: SoundResult,
    machine: Machine | None,
    *,
    shaft: str = CRANKSHAFT,
    condition: Condition = "blades in air",
    instrument: str = "",
    at: str = "",
    evidence: str = "",
    confirmed: bool = False,
) -> Reading:
    """One reading where the candidates leave one speed, else an undecided one naming them all."""
    decided = result.decided and result.steady is not None
    return Reading(
        shaft=shaft,
        condition=condition,
        method="sound",
        value=result.steady if decided else None,
        decided=decided,
        candidates=result.candidates,
        instrument=instrument,
        at=at,
        why=_why(result, decided),
        next_steps=() if decided else _next_steps(machine),
        confirmed=confirmed and decided,
        hunting=result.hunting,
        evidence=evidence,
    )


def _why(result: SoundResult, decided: bool) -> str:
    if decided:
        return "one speed explains the lines of the sound; its multiples do not"
    if not result.candidates:
        return result.notes[0] if result.notes else "nothing in the range was heard"
    return "several speeds would sound the same"


def _next_steps(machine: Machine | None) -> tuple[str, ...]:
    steps = [] if machine is not None else ["say how many strokes and cylinders the engine has"]
    return (
        *steps,
        "count pulses at the plug lead",
        "mark one spot that shows from above with the guards on and film it",
        "record at idle too",
    )
