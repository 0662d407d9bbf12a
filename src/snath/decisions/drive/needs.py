"""Work out which ratio, sheave and length of belt a machine needs, whatever is on the shelf."""

import math
from dataclasses import dataclass, replace

from snath.decisions.drive.belt import Belt, belt_by_name
from snath.decisions.drive.layout import route_at
from snath.decisions.drive.orders import belt_numbers
from snath.decisions.drive.positions import Choice, Position
from snath.decisions.drive.problem import Problem
from snath.decisions.window.sold import next_sold
from snath.quantities.errors import InputError

CLOSE = 0.0005  # m; nearer than this two belts are of one length


@dataclass(frozen=True, slots=True)
class Need:
    """One driven shaft.

    Attributes
    ----------
    name : str
        Of its pulley.
    least, most : float
        Turns for one of the engine that it may make; `most` is infinite where nothing limits it. [1]
    slowest, fastest : float
        Turns it makes now, by the mildest and by the worst way to see its sheaves. [1]
    engine_most, own_least : float
        Largest engine sheave with its own as it is; smallest own with the engine's as it is. Outside. [m]
    engine_sold, own_sold : float or None
        The next sizes sold that keep to them. [m]
    """

    name: str
    least: float
    most: float
    slowest: float
    fastest: float
    engine_most: float
    own_least: float
    engine_sold: float | None
    own_sold: float | None

    @property
    def too_fast(self) -> bool:
        """Whether it turns past its limit as it is."""
        return self.fastest > self.most * (1 + 1e-9)

    @property
    def too_slow(self) -> bool:
        """Whether it stays under what the work asks for."""
        return self.slowest < self.least * (1 - 1e-9)


@dataclass(frozen=True, slots=True)
class Length:
    """Which belt goes on and can be tightened for life with one set of sheaves.

    Attributes
    ----------
    engine : float
        Outside diameter of the engine's sheave it is reckoned with. [m]
    slack, tight : float
        Way of the belt at both ends of the take-up, on its length's line. [m]
    sold : tuple of str
        Designations sold that fit; empty where the take-up is too short for any.
    on_fits : bool
        Whether the belt that is on is one of them.
    """

    engine: float
    slack: float
    tight: float
    sold: tuple[str, ...]
    on_fits: bool


@dataclass(frozen=True, slots=True)
class Needs:
    """Every driven shaft's ratio, and the belt as it is and with the next engine sheave that would do."""

    shafts: tuple[Need, ...]
    lengths: tuple[Length, ...]


def needs(problem: Problem) -> Needs:
    """What any drive for this question must come to.

    Parameters
    ----------
    problem : Problem
        As `ask.problem_for` puts it; its stock is not looked at.
    """
    engine = problem.positions[0]
    shafts = tuple(_need(problem, engine, position) for position in problem.positions[1:] if position.loaded)
    sizes = [engine.choices[0].outside]
    fitting = [need.engine_sold for need in shafts if need.too_fast]
    if fitting and all(size is not None for size in fitting) and not engine.stays:
        sizes.append(min(size for size in fitting if size is not None))
    lengths = (_length(problem, size) for size in sizes)
    return Needs(shafts, tuple(one for one in lengths if one is not None))


def _need(problem: Problem, engine: Position, position: Position) -> Need:
    first, own = engine.choices[0], position.choices[0]
    ratios = [
        (line(first) + ahead) / (line(own) + behind)
        for line in (_outside, _datum)
        for ahead in (0.0, 2 * _ride(first))
        for behind in (0.0, 2 * _ride(own))
    ]
    most, least = position.limit / problem.speed, position.floor / problem.speed
    if not math.isfinite(most):
        return Need(position.name, least, most, min(ratios), max(ratios), math.inf, 0.0, None, None)
    deep, high = min(0.0, 2 * _ride(own)), max(0.0, 2 * _ride(first))
    largest = min(most * (own.outside + deep), most * (_datum(own) + deep) + first.offset)
    smallest = max((first.outside + high) / most, (_datum(first) + high) / most + own.offset)
    return Need(
        position.name,
        least,
        most,
        min(ratios),
        max(ratios),
        largest,
        smallest,
        next_sold(largest, section=first.section, offset=first.offset, direction=-1),
        next_sold(smallest, section=own.section, offset=own.offset, direction=+1),
    )


def _length(problem: Problem, engine: float) -> Length | None:
    """The belts for the sheaves as they are behind an engine sheave of that size; None where none can be laid."""
    first = replace(problem.positions[0].choices[0], outside=engine, ride=0.0)
    choices = (first, *(position.choices[0] for position in problem.positions[1:]))
    on = problem.belts[0].belt
    try:
        ways = sorted(route_at(problem, choices, on, end).length for end in (0.0, 1.0))
    except InputError:
        return None
    slack, tight = ways

    def fits(belt: Belt) -> bool:
        longest = (belt.length + belt.tolerance) * (1 + problem.stretch)
        return belt.line == on.line and belt.length - belt.tolerance >= slack and longest <= tight

    return Length(engine, slack, tight, tuple(b.name for b in _sold(on.section) if fits(b)), fits(on))


def _sold(section: str) -> list[Belt]:
    found = []
    for number in belt_numbers(section):
        try:
            found.append(belt_by_name(f"{section}{number}"))
        except InputError:
            break
    return found


def _outside(choice: Choice) -> float:
    return choice.outside


def _datum(choice: Choice) -> float:
    return choice.outside - choice.offset


def _ride(choice: Choice) -> float:
    """How far the belt may stand off the rim: as measured, else as deep as nobody looked. [m]"""
    return choice.ride or -choice.unseen


def belts_beside(belt: Belt) -> tuple[str, ...]:
    """Designations of the next shorter and the next longer belt of a section that are sold."""
    sold = [other for other in _sold(belt.section) if other.line == belt.line]
    shorter = [other for other in sold if other.length < belt.length - CLOSE]
    longer = [other for other in sold if other.length > belt.length + CLOSE]
    return tuple(one.name for one in (*shorter[-1:], *longer[:1]))
