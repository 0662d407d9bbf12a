"""Work out a belt's slack pull: by a spring idler, by a stated pull, or by what the drive now on just needs."""

import math
from dataclasses import replace

import numpy as np

from snath.decisions.drive.belt import Belt
from snath.decisions.drive.frame import Frame, Spring, take_up
from snath.decisions.drive.layout import route_at
from snath.decisions.drive.problem import Problem
from snath.decisions.drive.shelf import kinds
from snath.decisions.drive.speeds import speeds_for
from snath.formulas.belts.loop import Route
from snath.formulas.belts.take_up import Seat, seat_for
from snath.formulas.belts.tension import idler_tension, spring_pull
from snath.formulas.belts.ways import Arm
from snath.quantities.errors import InputError
from snath.quantities.message import Message


def slack_pull(frame: Frame) -> float | None:
    """Pull in the slack run, as stated or as the spring makes it with the belt that is on. [N]"""
    if frame.fit.slack_pull is not None:
        return frame.fit.slack_pull
    if frame.spring is None or not isinstance(frame.way, Arm):
        return None
    seat = seat_for(take_up(frame), length=frame.belt.length)
    return belt_pull(frame.spring, frame.way, frame.moving, seat)


def belt_pull(spring: Spring, arm: Arm, name: str, seat: Seat) -> float:
    """Pull in the belt at an idler on a sprung arm, by moments about its pivot. [N]"""
    angle = arm.slack + seat.share * (arm.tight - arm.slack)
    hook = (
        arm.pivot[0] + spring.lever * math.cos(angle + spring.angle),
        arm.pivot[1] + spring.lever * math.sin(angle + spring.angle),
    )
    length = math.dist(hook, spring.anchor)
    if length == 0:
        raise InputError("spring", Message("drive.no-length"), Message("drive.spring-ends"))
    force = float(spring_pull(rate=spring.rate, initial=spring.initial, free=spring.free, length=length))
    along = ((spring.anchor[0] - hook[0]) / length, (spring.anchor[1] - hook[1]) / length)
    turning = force * _cross(hook[0] - arm.pivot[0], hook[1] - arm.pivot[1], *along)
    push_x, push_y = _push(seat.route, name)
    reach = _cross(seat.place[0] - arm.pivot[0], seat.place[1] - arm.pivot[1], push_x, push_y)
    if reach * turning >= 0:
        raise InputError("spring", f"{force:.0f} N", Message("drive.spring-pulls-away"))
    return float(idler_tension(push=abs(turning / reach), wrap=seat.route.wrap(name)))


def _push(route: Route, name: str) -> tuple[float, float]:
    """Direction in which the belt pushes the idler: along the sum of its two runs."""
    place = [p.name for p in route.pulleys].index(name)
    before, after = route.spans[place - 1].direction, route.spans[place].direction
    x = math.cos(after) - math.cos(before)
    y = math.sin(after) - math.sin(before)
    size = math.hypot(x, y)
    return x / size, y / size


def _cross(ax: float, ay: float, bx: float, by: float) -> float:
    return ax * by - ay * bx


def standing_pull(problem: Problem, belt: Belt) -> float:
    """Pull at which the drive as it is would just carry its load, so that others are compared with it. [N]

    Where the belt that is on cannot be laid, half a turn of wrap is taken on every sheave.
    """
    now = tuple(position.choices[0] for position in problem.positions)
    try:
        routes = [route_at(problem, now, belt, end) for end in (0.0, 1.0)]
        wraps = [np.array([min(r.wrap(position.name) for r in routes)]) for position in problem.positions]
    except InputError:
        wraps = [np.array([math.pi]) for _ in problem.positions]
    alone = tuple(replace(position, choices=position.choices[:1]) for position in problem.positions)
    kind = next(k for k in kinds(replace(problem, positions=alone, belts=problem.belts[:1])))
    index = [np.array([next(i for i, c in enumerate(row) if not c.changed)]) for row in kind.choices]

    def grips(pull: float) -> bool:
        speeds = speeds_for(replace(problem, slack_pull=pull, mass=0.0), kind.choices)
        return bool(speeds.grip(index, wraps)[0] >= 0)

    low, high = 0.0, 1.0
    while not grips(high):
        high *= 2
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (low, middle) if grips(middle) else (middle, high)
    return high
