"""Work out what a drive must carry: the pulls in its belt, and a published rating where one holds."""

import math
from dataclasses import dataclass

from snath.decisions.drive.belt import Belt
from snath.decisions.drive.frame import Fit
from snath.decisions.drive.problem import Candidate, Problem
from snath.formulas.belts.capacity import arc_factor, belts_needed, has_rating, length_factor, rated_power
from snath.formulas.belts.lengths import read_name
from snath.formulas.belts.take_up import Seat
from snath.formulas.belts.tension import Tensions, shaft_load
from snath.quantities.errors import InputError
from snath.quantities.message import Amount, Message, term

UNRATED = Message("drive.unrated")


@dataclass(frozen=True, slots=True)
class Load:
    """Pulls in a drive at the stated power; None of it is known where no power or no slack pull is. [N]"""

    tensions: Tensions
    engine_shaft: float


def load(problem: Problem, candidate: Candidate, seat: Seat) -> Load | None:
    """Pulls at the stated power, blades by the cube law; None where the pull is only a comparison."""
    if problem.mass == 0:
        return None
    engine = candidate.choices[0]
    speed = math.pi * (engine.outside - engine.offset) * problem.speed
    power = sum(
        position.power * (engine.outside / choice.outside / position.ratio_now) ** 3
        for position, choice in zip(problem.positions, candidate.choices, strict=True)
        if position.power
    )
    flying = problem.mass * speed**2
    tight = problem.slack_pull + power / speed
    wrap = seat.route.wrap(problem.positions[0].name)
    on_shaft = float(shaft_load(one=tight - flying, other=problem.slack_pull - flying, wrap=wrap))
    return Load(Tensions(tight, problem.slack_pull, flying), on_shaft)


def rating(problem: Problem, candidate: Candidate, seat: Seat, fit: Fit) -> Message:
    """The published rating beside the power asked for: shown, never a filter."""
    belt = candidate.belt.belt
    if belt.aramid or not has_rating(belt.section):
        return UNRATED
    if len([position for position in problem.positions if position.shaft]) != 2:
        return Message("drive.rating-two-pulleys")
    if fit.power is None:
        return Message("drive.no-power-stated")
    try:
        return _compared(problem, candidate, seat, fit)
    except InputError as why:
        return Message("drive.no-capacity", why=why.allowed)


def _compared(problem: Problem, candidate: Candidate, seat: Seat, fit: Fit) -> Message:
    engine, driven = (c for c, p in zip(candidate.choices, problem.positions, strict=True) if p.shaft)
    belt = candidate.belt.belt
    ratio = engine.outside / driven.outside
    small = min((engine, driven), key=lambda c: c.outside)
    rated = rated_power(
        section=belt.section,
        diameter=small.outside - small.offset,
        rotation=problem.speed * max(ratio, 1.0),
        ratio=max(ratio, 1 / ratio),
    )
    arc = float(arc_factor(min(seat.route.wraps)))
    factor = _length_factor(belt)
    assert fit.power is not None
    needed, _ = belts_needed(
        power=fit.power, service=fit.service, rated=rated.value, arc=arc, length=factor or 1.0
    )
    length = Message("drive.length-allowed-for") if factor else Message("drive.length-not-allowed-for")
    return Message(
        "drive.rated",
        edition=rated.edition,
        standing=term("standing", rated.standing),
        each=Amount(rated.value * arc * (factor or 1.0), "power"),
        length=length,
        power=Amount(fit.power, "power"),
        service=fit.service,
        needed=needed,
    )


def _length_factor(belt: Belt) -> float | None:
    try:
        name = read_name(belt.name)
        return length_factor(section=name.section, number=name.number).value
    except InputError:
        return None
