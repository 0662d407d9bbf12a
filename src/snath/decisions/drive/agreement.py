"""Check that frame and machine speak of one belt, and that a drive can be chosen for it."""

import math
from dataclasses import dataclass
from typing import Literal

from snath.decisions.drive.frame import Frame
from snath.decisions.job.job import Job, Stage
from snath.decisions.machine.parts import CRANKSHAFT, Coupling, Machine
from snath.formulas.belts.ways import Arm, Slot
from snath.quantities.errors import InputError
from snath.quantities.message import Amount, Message

NO_LOAD = ("blades off", "blades in air")
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


@dataclass(frozen=True, slots=True)
class Design:
    """The no-load engine speed a drive is chosen for, and by whose word.

    Attributes
    ----------
    speed : float
        [rev/s]
    by : str
        "route", "aim", "as left", "as found", "maker" or "engine".
    """

    speed: float
    by: Literal["route", "aim", "as left", "as found", "maker", "engine"]


def design_speed(job: Job, frame: Frame) -> Design:
    """The speed the machine will be left at, else the one it was read at, else what maker or engine state.

    What was read beyond the engine maker's limit will not stay so, and is passed over.

    Raises
    ------
    InputError
        If nobody states a speed, or the one stated is over the engine's own range.
    """
    engine = job.machine.engine
    most = math.inf if engine.rated_max is None else engine.rated_max
    if frame.fit.speed is not None:
        design = Design(frame.fit.speed, "route")
    elif job.aim is not None:
        design = Design(job.aim, "aim")
    elif (left := _read(job.as_left, most)) is not None:
        design = Design(left, "as left")
    elif (found := _read(job.as_found, most)) is not None:
        design = Design(found, "as found")
    elif engine.maker_no_load is not None:
        design = Design(engine.maker_no_load.rev_s, "maker")
    elif engine.rated_max is not None:
        design = Design(engine.rated_max, "engine")
    else:
        raise InputError("fit.speed", "nothing", Message("drive.give-speed"))
    if design.speed > most:
        raise InputError(
            "fit.speed",
            f"{design.speed * 60:.0f} rpm",
            Message("drive.over-engine-limit", most=Amount(most, "rotation")),
        )
    return design


def _read(stage: Stage, most: float) -> float | None:
    """The crankshaft's speed at the last no-load reading that counts; None where there is none up to `most`."""
    speeds = [
        one.value.value
        for one in stage.readings
        if one.value is not None
        and one.decided
        and one.withdrawn is None
        and one.shaft == CRANKSHAFT
        and one.condition in NO_LOAD
    ]
    return speeds[-1] if speeds and speeds[-1] <= most else None


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
