"""From machine, frame and shelf to the question the search answers: limits per shaft, who may sit where."""

import math
from dataclasses import replace

from snath.decisions.drive.frame import Frame, Place
from snath.decisions.drive.frame_grip import slack_pull, standing_pull
from snath.decisions.drive.problem import BeltChoice, Choice, Post, Problem
from snath.decisions.drive.stock import Stock, StockSheave
from snath.decisions.job.job import Job
from snath.decisions.machine.parts import CRANKSHAFT, Coupling, Machine
from snath.decisions.machine.train import path, ratios
from snath.decisions.window.limits import Limit, limits_of
from snath.formulas.belts.grip import figure
from snath.formulas.belts.sections import groove_of, groove_offset, has_offset
from snath.formulas.belts.tension import belt_mass
from snath.quantities.errors import InputError

AGREE = 0.001  # m; sheet and route file may differ by this much on one sheave


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
    couplings = _couplings(job.machine, frame)
    speed = design_speed(job.machine, frame)
    limits = limits_of(job.machine, job.rules, market=job.market, only=job.only_rule)
    posts = tuple(_post(p, frame, job.machine, limits, couplings, stock) for p in frame.places)
    problem = Problem(
        posts=posts,
        belts=_belts(frame, stock),
        moving=frame.moving,
        way=frame.way,
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


def _couplings(machine: Machine, frame: Frame) -> dict[str, Coupling]:
    """The machine's coupling for every driven pulley of the frame, checked against it."""
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


def _post(
    place: Place,
    frame: Frame,
    machine: Machine,
    limits: tuple[Limit, ...],
    couplings: dict[str, Coupling],
    stock: Stock,
) -> Post:
    post = Post(
        place.name,
        place.x,
        place.y,
        place.contact,
        _choices(place, couplings, stock),
        place.shaft,
        place.room,
    )
    if not place.shaft or place.shaft == CRANKSHAFT:
        return post
    ceiling, floor = _reach(machine, limits, place.shaft)
    if ceiling < math.inf:
        floor = max(floor, frame.fit.least_share * ceiling)
    share = (frame.fit.power or 1.0) / len(frame.loaded)
    ratio = frame.driver.outside / place.outside
    return replace(post, limit=ceiling, floor=floor, power=share, ratio_now=ratio)


def _reach(machine: Machine, limits: tuple[Limit, ...], shaft: str) -> tuple[float, float]:
    """Highest and lowest speed of a shaft by everything on it and behind it. [rev/s]"""
    ceiling, floor = math.inf, 0.0
    for limit in limits:
        behind = limit.shaft == shaft or shaft in {c.driven for c in path(machine, limit.shaft)}
        if not behind or limit.applies_to != "sustained":
            continue
        for ratio in ratios(machine, of=limit.shaft, per=shaft):
            speed = limit.shaft_speed.value / ratio.value.value
            if limit.side == "ceiling":
                ceiling = min(ceiling, speed)
            else:
                floor = max(floor, speed)
    return ceiling, floor


def _choices(place: Place, couplings: dict[str, Coupling], stock: Stock) -> tuple[Choice, ...]:
    if not place.shaft:
        return (Choice(place.outside, 0.0),)
    maker = maker_part(place, couplings)
    if place.bottomed:
        allowed = (
            "the belt rests on the bottom of this groove and no longer wedges: no ratio can be told from its "
            "diameter; fit a new sheave or count the ratio"
        )
        raise InputError(place.name, "shiny bottom", allowed)
    now = Choice(place.outside, _offset(place), place.section, part=maker, ride=place.ride)
    ranks = stock_order(stock)
    return (now, *(_choice(s, maker, ranks[s.number]) for s in stock.sheaves if _may_sit(s, place)))


def _may_sit(sheave: StockSheave, place: Place) -> bool:
    return not place.bore or sheave.bore == place.bore


def _choice(sheave: StockSheave, maker: str, rank: int) -> Choice:
    return Choice(
        outside=sheave.outside,
        offset=sheave.offset,
        section=sheave.section,
        rank=rank,
        number=sheave.number,
        part=sheave.part,
        original=bool(maker) and sheave.part == maker,
        price=sheave.price,
        changed=True,
        count=sheave.count,
        cast=sheave.cast,
    )


def maker_part(place: Place, couplings: dict[str, Coupling]) -> str:
    """The machine maker's number for the sheave at a place; empty where the sheet has none."""
    if place.shaft == CRANKSHAFT:
        return next((c.parts[0].maker_part for c in couplings.values() if c.parts[0].maker_part), "")
    coupling = couplings.get(place.shaft)
    return coupling.parts[1].maker_part if coupling else ""


def _offset(place: Place) -> float:
    if place.offset is not None:
        return place.offset
    if not has_offset(place.section):
        allowed = "no page tells how deep the belt sits in it: give datum_offset from the sheave maker's page"
        raise InputError(place.name, f"section {place.section}", allowed)
    return groove_offset(place.section)


def _belts(frame: Frame, stock: Stock) -> tuple[BeltChoice, ...]:
    part, ranks = frame.belt.part, stock_order(stock)
    found = [BeltChoice(frame.belt)]
    sections = {s.section for s in stock.sheaves} | {groove_of(frame.belt.section)}
    for item in stock.belts:
        if groove_of(item.belt.section) in sections:
            original = bool(part) and item.belt.part == part
            found.append(
                BeltChoice(item.belt, ranks[item.number], item.number, original, item.price, changed=True)
            )
    return tuple(found)


def stock_order(stock: Stock) -> dict[str, int]:
    """Stock numbers in the order a person reads them: 9 before 10, A9 before A10."""
    numbers = [s.number for s in stock.sheaves] + [b.number for b in stock.belts]
    return {number: rank for rank, number in enumerate(sorted(set(numbers), key=_natural))}


def _natural(number: str) -> tuple[tuple[bool, int, str], ...]:
    parts, digits = [], ""
    for mark in f"{number}\0":
        if mark.isdecimal():
            digits += mark
            continue
        if digits:
            parts.append((False, int(digits), ""))
            digits = ""
        parts.append((True, 0, mark))
    return tuple(parts)


def _mass(frame: Frame) -> float:
    """Mass of a metre of belt where a page gives one, else none: its pull is then left out. [kg/m]"""
    try:
        return belt_mass(frame.belt.section).value
    except InputError:
        return 0.0
