"""Do frame and machine speak of the same belt, and can a drive be chosen for it at all?"""

from snath.decisions.drive.frame import Frame
from snath.decisions.machine.parts import CRANKSHAFT, Coupling, Machine
from snath.formulas.belts.ways import Arm, Slot
from snath.quantities.errors import InputError
from snath.quantities.message import Amount, Message

AGREE = 0.001  # m; sheet and route file may differ by this much on one sheave


def way_of(frame: Frame) -> Slot | Arm:
    """The movable pulley's way, of a frame that a drive can be chosen for.

    Raises
    ------
    InputError
        If nothing can be moved, the frame is not flat, or its idler sits in the pulling run.
    """
    if frame.way is None:
        raise InputError(frame.name, Message("drive.none-movable"), Message("drive.needs-slot-or-arm"))
    if frame.space:
        raise InputError(frame.name, Message("drive.out-of-plane"), Message("drive.one-plane"))
    if frame.idler_on_tight_run:
        raise InputError("idler", frame.moving, Message("drive.idler-in-slack-run"))
    return frame.way


def design_speed(machine: Machine, frame: Frame) -> float:
    """The no-load engine speed a drive is chosen for. [rev/s]

    Raises
    ------
    InputError
        If neither the frame nor the maker states one, or it is over the engine's own range.
    """
    engine = machine.engine
    if frame.fit.speed is not None:
        speed = frame.fit.speed
    elif engine.maker_no_load is not None:
        speed = engine.maker_no_load.rev_s
    elif engine.rated_max is not None:
        speed = engine.rated_max
    else:
        raise InputError("fit.speed", "nothing", Message("drive.give-speed"))
    if engine.rated_max is not None and speed > engine.rated_max:
        raise InputError(
            "fit.speed",
            f"{speed * 60:.0f} rpm",
            Message("drive.over-engine-limit", most=Amount(engine.rated_max, "rotation")),
        )
    return speed


def couplings_of(machine: Machine, frame: Frame) -> dict[str, Coupling]:
    """The machine's coupling for every driven pulley of the frame.

    Raises
    ------
    InputError
        If the sheet has no such belt, another size or the other turning sense, or nothing is driven.
    """
    into = {c.driven: c for c in machine.couplings}
    found: dict[str, Coupling] = {}
    for place in frame.loaded:
        coupling = into.get(place.shaft)
        if coupling is None or coupling.driver != CRANKSHAFT or coupling.kind != "belt":
            known = tuple(c.driven for c in machine.couplings if c.kind == "belt")
            raise InputError(f"shaft of {place.name}", place.shaft, Message("drive.not-driven", known=known))
        if coupling.sense != 1:
            raise InputError(f"shaft of {place.name}", place.shaft, Message("drive.turns-backwards"))
        for at, part in zip((frame.driver, place), coupling.parts, strict=True):
            if abs(part.size.value - at.outside) > AGREE:
                given = Message("drive.outside", outside=Amount(at.outside, "length"))
                size = Amount(part.size.value, "length")
                allowed = Message("drive.sheet-says", size=size, role=part.role, shaft=place.shaft)
                raise InputError(at.name, given, allowed)
        found[place.shaft] = coupling
    if not found:
        raise InputError(frame.name, Message("drive.no-driven-shaft"), Message("drive.name-shafts"))
    return found
