"""Put machine, frame and shelf into the question the search answers: which speed, which limit at each shaft."""

import math
from dataclasses import replace

from snath.decisions.drive.agreement import couplings_of, design_speed, way_of
from snath.decisions.drive.frame import Frame, Place
from snath.decisions.drive.frame_grip import slack_pull, standing_pull
from snath.decisions.drive.pieces import belt_choices, sheave_choices
from snath.decisions.drive.positions import Position
from snath.decisions.drive.problem import Problem
from snath.decisions.drive.stock import Stock
from snath.decisions.job.job import Job
from snath.decisions.machine.drivetrain import path, speed_ratios
from snath.decisions.machine.exchange import ends_on
from snath.decisions.machine.parts import CRANKSHAFT, Coupling, Machine
from snath.decisions.window.limits import Limit, limits_of
from snath.formulas.belts.grip import figure
from snath.formulas.belts.tension import belt_mass
from snath.quantities.errors import InputError


def problem_for(job: Job, frame: Frame, stock: Stock) -> Problem:
    """The search's question for one belt of a machine.

    Parameters
    ----------
    job : Job
        The machine with its rules.
    frame : Frame
        Where the belt runs, with what is on now.
    stock : Stock
        What may be fitted instead.

    Returns
    -------
    Problem
        With what is on now as the first choice everywhere.

    Raises
    ------
    InputError
        If frame and machine do not agree, nothing can be moved, or no speed is known to design for.
    """
    way = way_of(frame)
    couplings = couplings_of(job.machine, frame)
    speed = design_speed(job, frame).speed
    limits = limits_of(job.machine, job.rules, market=job.market, only=job.only_rule)
    positions = tuple(_position(p, frame, job.machine, limits, couplings, stock) for p in frame.places)
    problem = Problem(
        positions=positions,
        belts=belt_choices(frame, stock),
        moving=frame.moving,
        way=way,
        clockwise=frame.clockwise,
        speed=speed,
        least_wrap=frame.fit.least_wrap,
        clearance=frame.fit.clearance,
        spread=frame.fit.spread,
        stretch=frame.fit.stretch,
        friction=figure("friction in the groove").value,
        rim_speed=figure("cast rim speed").value,
    )
    known = slack_pull(frame)
    if known is None or frame.fit.power is None:
        return replace(problem, slack_pull=standing_pull(problem, frame.belt))
    return replace(problem, slack_pull=known, mass=_mass(frame))


def _position(
    place: Place,
    frame: Frame,
    machine: Machine,
    limits: tuple[Limit, ...],
    couplings: dict[str, Coupling],
    stock: Stock,
) -> Position:
    stays = _has_another_belt(machine, couplings, place)
    choices = sheave_choices(place, couplings, stock)
    position = Position(
        place.name,
        place.x,
        place.y,
        place.contact,
        choices[:1] if stays else choices,
        place.shaft,
        place.room,
        stays=stays,
    )
    if not place.shaft or place.shaft == CRANKSHAFT:
        return position
    ceiling, floor = _reach(machine, limits, place.shaft)
    if ceiling < math.inf:
        floor = max(floor, frame.fit.least_share * ceiling)
    share = (frame.fit.power or 1.0) / len(frame.loaded)
    ratio = frame.driver.outside / place.outside
    return replace(position, limit=ceiling, floor=floor, power=share, ratio_now=ratio)


def _has_another_belt(machine: Machine, couplings: dict[str, Coupling], place: Place) -> bool:
    """Whether a belt that is not of this frame runs on the same pulley: another pulley would move its shaft too."""
    here = [
        (coupling, 0 if place.shaft == CRANKSHAFT else 1)
        for coupling in couplings.values()
        if place.shaft in (CRANKSHAFT, coupling.driven)
    ]
    return any(
        other.driven not in couplings for coupling, at in here for other, _ in ends_on(machine, coupling, at)
    )


def _reach(machine: Machine, limits: tuple[Limit, ...], shaft: str) -> tuple[float, float]:
    """Highest and lowest speed of a shaft by everything on it and behind it. [rev/s]"""
    ceiling, floor = math.inf, 0.0
    for limit in limits:
        behind = limit.shaft == shaft or shaft in {c.driven for c in path(machine, limit.shaft)}
        if not behind or limit.applies_to != "sustained":
            continue
        for ratio in speed_ratios(machine, of=limit.shaft, per=shaft):
            speed = limit.shaft_speed.value / ratio.value.value
            if limit.side == "ceiling":
                ceiling = min(ceiling, speed)
            else:
                floor = max(floor, speed)
    return ceiling, floor


def _mass(frame: Frame) -> float:
    """Mass of a metre of belt where a page gives one, else none: its pull is then left out. [kg/m]"""
    try:
        return belt_mass(frame.belt.section).value
    except InputError:
        return 0.0
