"""A chosen drive as it will run, over the dotted line of how it was found."""

from snath.decisions.drive.choose import Choices
from snath.decisions.drive.confirm import Drive
from snath.decisions.drive.layout import seat
from snath.decisions.drive.problem import Problem
from snath.formulas.belts.loop import Route
from snath.quantities.errors import InputError
from snath.shop.pictures.picture import Picture
from snath.shop.pictures.route import route_picture
from snath.shop.pictures.voice import Voice


def drive_picture(found: Choices, drive: Drive, voice: Voice, *, name: str, width: float = 720) -> Picture:
    """The drive to scale, before and after."""
    return route_picture(
        drive.seat.route,
        voice,
        name=name,
        belt=drive.candidate.belt.belt.name,
        clockwise=found.problem.clockwise,
        before=as_found(found.problem) if drive.candidate.changed else None,
        way=found.problem.way,
        width=width,
    )


def as_found(problem: Problem) -> Route | None:
    """The route of what is on now; None where its belt cannot be tightened on it."""
    try:
        return seat(
            problem, tuple(position.choices[0] for position in problem.positions), problem.belts[0].belt
        ).route
    except InputError:
        return None
