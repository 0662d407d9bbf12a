"""Say what to listen for on a machine, and make one reading, or "cannot tell", of what was heard."""

from snath.decisions.machine.drivetrain import SLIP_AT_NO_LOAD
from snath.decisions.machine.parts import CRANKSHAFT, Condition, Machine
from snath.decisions.reading.reading import Reading
from snath.decisions.reading.steady_states import ALONE
from snath.decisions.reading.usual import OPEN_RANGE, USUAL_IDLE, fastest
from snath.formulas.signals.candidates import Driven, Orders
from snath.formulas.signals.sound_answer import BY_THE_MAINS, CHANGES, IN_PART, SECOND
from snath.formulas.signals.sound_result import SoundResult
from snath.quantities.message import Message

CYCLE_TURNS = {4: 2, 2: 1}
RATIO_DOUBT = 0.01  # of a ratio on paper; common practice, no source
BLADE_TIPS = 2
NO_OTHER, HOLD, CLOSER = Message("sound.no-other"), Message("sound.hold"), Message("sound.closer")
BLADES_OFF = Message("sound.blades-off")


def orders_from_machine(machine: Machine | None) -> Orders:
    """What to listen for: strokes, firing and ratios; never a limit, target or maker's figure."""
    if machine is None or machine.engine.electric:
        return Orders(*OPEN_RANGE)
    engine = machine.engine
    low = (engine.idle or USUAL_IDLE) / 2
    turns = CYCLE_TURNS.get(engine.strokes or 0)
    firings = engine.firings
    if firings is None and engine.cylinders == 1:
        firings = (0.0,)
    if turns is None or firings is None:
        return Orders(low, fastest(engine), driven=_driven(machine))
    return Orders(low, fastest(engine), turns, firings, _driven(machine))


def _driven(machine: Machine) -> tuple[Driven, ...]:
    """Bladed shafts with the ratios they may have, slip allowed for."""
    ratios = {CRANKSHAFT: (1.0, 1.0)}
    for coupling in machine.couplings:
        known = ratios.get(coupling.driver)
        if known is None or coupling.kind == "variable" or not coupling.alternatives:
            continue
        values = [one.value.value for one in coupling.alternatives]
        if coupling.kind == "direct":
            low, high = min(values), max(values)
        elif coupling.kind == "belt":
            low, high = min(values) * (1 - SLIP_AT_NO_LOAD), max(values) * (1 + RATIO_DOUBT)
        else:
            low, high = min(values) * (1 - RATIO_DOUBT), max(values) * (1 + RATIO_DOUBT)
        ratios[coupling.driven] = (known[0] * low, known[1] * high)
    found = [
        Driven(*ratios[member.shaft], BLADE_TIPS)
        for member in machine.members
        if member.kind == "blade" and member.shaft in ratios
    ]
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
    """One reading where the candidates leave one speed, else an undecided one naming them all.

    Parameters
    ----------
    result : SoundResult
        What was heard, of the crankshaft.
    machine : Machine or None
        The sheet it was listened with.
    shaft, condition, instrument, at, evidence
        As in `Reading`.
    confirmed : bool
        Whether sound was checked beside a tachometer in this shop.
    """
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
        next_steps=() if decided else _next_steps(result, machine),
        confirmed=confirmed and decided,
        hunting=result.hunting,
        evidence=evidence,
        lowest=result.low if decided else None,
        highest=result.high if decided else None,
    )


def _why(result: SoundResult, decided: bool) -> Message:
    if decided:
        return Message("sound.decided")
    for doubt in (BY_THE_MAINS, SECOND):
        if doubt in result.notes:
            return doubt
    if not result.candidates:
        return result.notes[0] if result.notes else Message("sound.nothing")
    likely = sum(one.weight for one in result.candidates)
    if likely < 0.5:
        return Message("sound.too-little")
    if len([one for one in result.candidates if one.weight > 0.02]) < 2:
        return result.notes[0] if result.notes else Message("sound.not-sure")
    return Message("sound.several")


def _next_steps(result: SoundResult, machine: Machine | None) -> tuple[Message, ...]:
    """What would tell the candidates apart, the easiest first."""
    if SECOND in result.notes:
        return (NO_OTHER,)
    if CHANGES in result.notes or IN_PART in result.notes:
        return (ALONE, HOLD)
    if BY_THE_MAINS in result.notes:
        return (CLOSER, Message("reading.count-pulses"), Message("sound.film-a-mark"))
    steps = []
    engine = machine.engine if machine is not None else None
    if engine is None or engine.strokes is None or engine.cylinders is None:
        steps.append(Message("sound.say-strokes"))
    elif engine.firings is None and engine.cylinders > 1:
        steps.append(Message("sound.say-firing"))
    if sum(one.weight for one in result.candidates) < 0.5:
        steps.append(CLOSER)
    if (
        machine is not None
        and machine.engine.clutch
        and any(member.kind == "blade" for member in machine.members)
    ):
        steps.append(BLADES_OFF)
    return (*steps, Message("reading.count-pulses"), Message("sound.film-a-mark"), Message("sound.idle-too"))
