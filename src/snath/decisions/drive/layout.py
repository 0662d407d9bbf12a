"""Lay one drive on the frame: its route at any place of the take-up, and where a belt seats it."""

from snath.decisions.drive.belt import Belt
from snath.decisions.drive.frame import belt_pulley
from snath.decisions.drive.positions import Choice
from snath.decisions.drive.problem import Problem
from snath.formulas.belts.loop import Pulley, Route
from snath.formulas.belts.route import lay
from snath.formulas.belts.take_up import Seat, TakeUp, seat_for
from snath.quantities.errors import InputError


def route_at(problem: Problem, choices: tuple[Choice, ...], belt: Belt, end: float) -> Route:
    """The route with the movable pulley at a share of its engaged way.

    Raises
    ------
    InputError
        If the belt cannot be laid there.
    """
    return lay(_pulleys(problem, choices, belt, end), clockwise=problem.clockwise)


def runs(problem: Problem, choices: tuple[Choice, ...], belt: Belt) -> bool:
    """Whether the belt can be laid at both ends of the travel without running into anything."""
    try:
        for end in (0.0, 1.0):
            route_at(problem, choices, belt, end)
    except InputError:
        return False
    return True


def seat(problem: Problem, choices: tuple[Choice, ...], belt: Belt) -> Seat:
    """Where the movable pulley sits with the belt at its named length."""
    pulleys = _pulleys(problem, choices, belt, 1.0)
    return seat_for(TakeUp(pulleys, problem.moving, problem.way, problem.clockwise), length=belt.length)


def _pulleys(problem: Problem, choices: tuple[Choice, ...], belt: Belt, end: float) -> tuple[Pulley, ...]:
    return tuple(
        belt_pulley(
            position.name, problem.place(position, end), choice.outside, position.contact, belt, choice.ride
        )
        for position, choice in zip(problem.positions, choices, strict=True)
    )
