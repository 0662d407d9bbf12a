"""Work out shaft speeds, margins and grip of many drives at once, each in its worst convention."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from snath.decisions.drive.positions import Choice
from snath.decisions.drive.problem import Problem
from snath.formulas.belts.grip import tension_ratio

Floats = NDArray[np.float64]
Index = NDArray[np.int64]
Passes = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Speeds:
    """Tables over the engine's choices (rows) and a position's choices (columns).

    Attributes
    ----------
    problem : Problem
    fastest, slowest : tuple of ndarray
        Driven over engine speed in the worst and the mildest convention, for each position. [1]
    by_outside : tuple of ndarray
        The same by outside diameters, for the power a blade takes. [1]
    passes : tuple of ndarray of bool
        Whether limit, floor, room and rim speed are kept.
    driver_passes : ndarray of bool
    line : ndarray
        Belt speed on the engine's datum circle. [m/s]
    """

    problem: Problem
    fastest: tuple[Floats, ...]
    slowest: tuple[Floats, ...]
    by_outside: tuple[Floats, ...]
    passes: tuple[Passes, ...]
    driver_passes: Passes
    line: Floats

    @property
    def loaded(self) -> list[int]:
        """Places of the driven positions, in the order in which the belt meets them."""
        return [i for i, position in enumerate(self.problem.positions) if position.loaded and i > 0]

    def margin(self, index: list[Index]) -> Floats:
        """By which share the worst shaft stays under its limit. [1]"""
        found = np.full(len(index[0]), np.inf)
        for i in self.loaded:
            limit = self.problem.positions[i].limit
            speed = self.fastest[i][index[0], index[i]] * self.problem.speed
            found = np.minimum(found, limit / speed - 1)
        return found

    def together(self, index: list[Index], spread: float | None) -> Passes:
        """Whether the driven shafts turn alike enough."""
        if spread is None or len(self.loaded) < 2:
            return np.ones(len(index[0]), bool)
        speeds = np.stack([self.by_outside[i][index[0], index[i]] for i in self.loaded])
        passes: Passes = speeds.max(axis=0) <= speeds.min(axis=0) * (1 + spread) + 1e-12
        return passes

    def grip(self, index: list[Index], wraps: list[Floats]) -> Floats:
        """By which share the worst loaded sheave could pull more before it slips. [1]

        Blades take power with the cube of their speed; from the slack run behind the engine each driven
        sheave adds its pull, and the engine's own sheave has to bear them all.
        """
        start, pulls = self._pulls(index)
        run, worst = start, np.full(len(start), np.inf)
        for i, pull in zip(self.loaded, pulls, strict=True):
            worst = np.minimum(worst, _spare(run, wraps[i], pull, self.problem.friction))
            run = run + pull
        engine: Floats = np.minimum(worst, _spare(start, wraps[0], run - start, self.problem.friction))
        return engine

    def most_grip(self, index: list[Index], driver_wrap: Floats) -> Floats:
        """What `grip` cannot exceed, told from the engine's sheave alone. [1]"""
        start, pulls = self._pulls(index)
        over_rounding = 1e-9
        return _spare(start, driver_wrap, np.sum(pulls, axis=0), self.problem.friction) + over_rounding

    def _pulls(self, index: list[Index]) -> tuple[Floats, list[Floats]]:
        """Pull that grips in the slack run, and the pull of each driven sheave. [N]"""
        line = self.line[index[0]]
        pulls = []
        for i in self.loaded:
            position = self.problem.positions[i]
            turns = self.by_outside[i][index[0], index[i]] / position.ratio_now
            pulls.append(np.asarray(position.power * turns**3 / line))
        return self.problem.slack_pull - self.problem.mass * line**2, pulls


def speeds_for(problem: Problem, choices: tuple[tuple[Choice, ...], ...]) -> Speeds:
    """All tables of speeds for the choices of one kind of belt."""
    outside = [np.array([c.outside for c in row]) for row in choices]
    datum = [np.array([c.outside - c.offset for c in row]) for row in choices]
    ride = [np.array([c.ride or -c.unseen for c in row]) for row in choices]
    cast = [np.array([c.cast for c in row]) for row in choices]
    room = [o <= position.room + 1e-9 for o, position in zip(outside, problem.positions, strict=True)]
    fastest, slowest, plain, passes = [], [], [], []
    for i, position in enumerate(problem.positions):
        one = outside[0][:, None] / outside[i]
        ways = [
            (line[0][:, None] + 2 * j * ride[0][:, None]) / (line[i] + 2 * k * ride[i])
            for line in (outside, datum)
            for j in (0, 1)
            for k in (0, 1)  # each groove is seen both as new and as worn, and the worst counts
        ]
        high, low = np.maximum.reduce(ways), np.minimum.reduce(ways)
        good = np.broadcast_to(room[i], high.shape).copy()
        if position.loaded and i > 0:
            good &= high * problem.speed <= position.limit
            good &= low * problem.speed >= position.floor
            good &= ~cast[i] | (math.pi * outside[i] * high * problem.speed <= problem.rim_speed)
        fastest.append(high)
        slowest.append(low)
        plain.append(one)
        passes.append(good)
    driver = room[0] & (~cast[0] | (math.pi * outside[0] * problem.speed <= problem.rim_speed))
    line: Floats = math.pi * datum[0] * problem.speed
    return Speeds(problem, tuple(fastest), tuple(slowest), tuple(plain), tuple(passes), driver, line)


def _spare(run: Floats, wrap: Floats, pull: Floats, friction: float) -> Floats:
    most = np.maximum(run, 0) * (tension_ratio(friction=friction, wrap=wrap) - 1)
    with np.errstate(divide="ignore", invalid="ignore"):
        spare: Floats = np.where(pull > 0, most / pull - 1, np.inf)
    return spare
