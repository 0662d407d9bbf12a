"""Do frame and machine speak of the same belt, and can a drive be chosen for it at all?"""

from snath.decisions.drive.frame import Frame
from snath.decisions.machine.parts import CRANKSHAFT, Coupling, Machine
from snath.formulas.belts.ways import Arm, Slot
from snath.quantities.errors import InputError

AGREE = 0.001  # m; sheet and route file may differ by this much on one sheave


def way_of(frame: Frame) -> Slot | Arm:
    """The movable pulley's way, of a frame that a drive can be chosen for.

    Raises
    ------
    InputError
        If nothing can be moved, the frame is not flat, or its idler sits in the pulling run.
    """
    if frame.way is None:
        raise InputError(
            frame.name, "no movable pulley", "one pulley needs a slot or an arm, or no belt can be tightened"
        )
    if frame.space:
        raise InputError(
            frame.name, "pulleys out of one plane", "a drive is chosen in one plane; lay this one by hand"
        )
    if frame.idler_on_tight_run:
        allowed = (
            "must be in the slack run, where the belt leaves the engine's pulley, before any driven shaft"
        )
        raise InputError("idler", frame.moving, allowed)
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
        raise InputError(
            "fit.speed", "nothing", "give the no-load engine speed, as neither maker nor engine states one"
        )
    if engine.rated_max is not None and speed > engine.rated_max:
        most = engine.rated_max * 60
        raise InputError(
            "fit.speed", f"{speed * 60:.0f} rpm", f"must be at most {most:.0f} rpm, the engine maker's limit"
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
            known = ", ".join(c.driven for c in machine.couplings if c.kind == "belt") or "none"
            allowed = f"must be a shaft the sheet drives by belt from the crankshaft: {known}"
            raise InputError(f"shaft of {place.name}", place.shaft, allowed)
        if coupling.sense != 1:
            allowed = "this belt turns it as the engine turns, the sheet says against: the blade would run backwards"
            raise InputError(f"shaft of {place.name}", place.shaft, allowed)
        for at, part in zip((frame.driver, place), coupling.parts, strict=True):
            if abs(part.size.value - at.outside) > AGREE:
                allowed = f"the machine sheet says {part.size.value * 1000:.1f} mm for the {part.role} of {place.shaft}"
                raise InputError(at.name, f"{at.outside * 1000:.1f} mm outside", allowed)
        found[place.shaft] = coupling
    if not found:
        raise InputError(
            frame.name, "no driven shaft", "name the machine sheet's shaft at each driven pulley"
        )
    return found
