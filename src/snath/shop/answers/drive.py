"""Answer which sheaves and which belt from stock will do, or what just fails and what to buy."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from snath.decisions.drive.choose import Choices
from snath.decisions.drive.confirm import NOT_ORIGINAL, RECHECK, Drive, compared
from snath.decisions.drive.load import Load
from snath.decisions.drive.misses import Miss
from snath.decisions.drive.posts import BeltChoice, Choice, Post
from snath.decisions.drive.problem import Problem
from snath.decisions.drive.stock import Stock
from snath.shop.answers.facts import Fact, fact, facts
from snath.shop.answers.speeds import ceil_rpm, floor_rpm
from snath.words.render import Locale, say


@dataclass(frozen=True)
class SheaveAnswer:
    """The sheave at one place of the belt.

    Attributes
    ----------
    place, shaft, section : str
        Which place and shaft, and its groove.
    outside_mm, outside_in : float
        Outside diameter. [mm], [in]
    stock_number, part : str or None
        The shop's number where it comes from the shelf, and the maker's where it is theirs.
    changed : bool
        False for the one that is on now.
    """

    place: str
    shaft: str
    section: str
    outside_mm: float
    outside_in: float
    stock_number: str | None
    changed: bool
    part: str | None


@dataclass(frozen=True)
class BeltAnswer:
    """The belt.

    Attributes
    ----------
    name, section : str
        As it is sold.
    line : str
        Where its length is taken: outside, datum or other.
    length_mm : float
        That length. [mm]
    stock_number, part : str or None
        The shop's number where it comes from the shelf, and the maker's where it is theirs.
    changed : bool
        False for the one that is on now.
    """

    name: str
    section: str
    line: str
    length_mm: float
    stock_number: str | None
    changed: bool
    part: str | None


@dataclass(frozen=True)
class WayAnswer:
    """One way to see a ratio, by outside or datum diameter.

    Attributes
    ----------
    name : str
        Which.
    ratio : float
        Turns of the shaft for one of the engine.
    """

    name: str
    ratio: float


@dataclass(frozen=True)
class RatioAnswer:
    """What a shaft turns for one turn of the engine, in every alternative."""

    shaft: str
    alternatives: tuple[WayAnswer, ...]


@dataclass(frozen=True)
class MovingAnswer:
    """Where the movable pulley sits.

    Attributes
    ----------
    name : str
        Which one moves.
    x_mm, y_mm : float
        Its place on the route. [mm]
    share_of_travel, share_left_stretched : float
        How much of the take-up is used, and left with the belt stretched, 0 to 1.
    """

    name: str
    x_mm: float
    y_mm: float
    share_of_travel: float
    share_left_stretched: float


@dataclass(frozen=True)
class PullsAnswer:
    """Pulls at the stated power. [N]"""

    tight: float
    slack: float
    static: float
    centrifugal: float
    engine_shaft: float


@dataclass(frozen=True)
class DriveAnswer:
    """One drive that has been worked through.

    Attributes
    ----------
    original, makers_approval_needed : bool
        Whether all that is changed is the maker's own part; else the maker has to be asked.
    check_again : tuple of Fact
        What a change leaves to be checked.
    parts_changed : int
        How many.
    sheaves, belt
        What runs where.
    ratios : tuple of RatioAnswer
        Every ratio in its alternatives.
    never_above_rpm, never_below_rpm, pass_below_rpm : int or None
        What they leave the engine. [rpm]
    margin : float or None
        From the engine's speed to the limit, as a share.
    moving : MovingAnswer
        Where the movable pulley sits.
    centre_mm : float or None
        Between the shafts of a plain pair. [mm]
    wraps_deg : mapping
        By place, how far the belt lies round. [deg]
    grip_margin : float or None
        What grip is left over, as a share; None where no power is stated.
    pulls_n : PullsAnswer or None
        Pulls at the stated power. [N]
    rim_speed_m_s : float
        Speed of the belt. [m/s]
    back_bends : int
        How often it is bent backwards.
    price : float
        Of what has to be taken from the shelf.
    ties : int
        How many drives are alike.
    notes : tuple of Fact
        What else has to be known.
    """

    original: bool
    makers_approval_needed: bool
    check_again: tuple[Fact, ...]
    parts_changed: int
    sheaves: tuple[SheaveAnswer, ...]
    belt: BeltAnswer
    ratios: tuple[RatioAnswer, ...]
    never_above_rpm: int | None
    never_below_rpm: int | None
    pass_below_rpm: int | None
    margin: float | None
    moving: MovingAnswer
    centre_mm: float | None
    wraps_deg: Mapping[str, float]
    grip_margin: float | None
    pulls_n: PullsAnswer | None
    rim_speed_m_s: float
    back_bends: int
    price: float
    ties: int
    notes: tuple[Fact, ...]


@dataclass(frozen=True)
class MissAnswer:
    """A drive that just fails, or one part to buy.

    Attributes
    ----------
    code, values, text
        The sentence, as a program and a reader have it.
    buy : bool
        Whether buying that part opens a drive.
    """

    code: str
    values: Mapping[str, Any]
    text: str
    buy: bool


@dataclass(frozen=True)
class DrivesAnswer:
    """Drives from stock.

    Attributes
    ----------
    speed_rpm : float
        The engine speed they were chosen for. [rpm]
    drives : tuple of DriveAnswer
        Original parts first, then fewest parts changed.
    misses : tuple of MissAnswer
        Where there are none: what just fails, and what to buy.
    order_first : tuple of Fact
        Maker's parts on the sheet that stock does not hold.
    looked_at : int
        How many drives were tried.
    exhaustive : bool
        Whether all were.
    dropped : int
        Found by the search and not allowed by the work; more than none is a fault of the program.
    stock_faults, stock_remarks : tuple of Fact
        Rows of the stock that were left out, and what to know of others.
    """

    speed_rpm: float
    drives: tuple[DriveAnswer, ...]
    misses: tuple[MissAnswer, ...]
    order_first: tuple[Fact, ...]
    looked_at: int
    exhaustive: bool
    dropped: int
    stock_faults: tuple[Fact, ...]
    stock_remarks: tuple[Fact, ...]


def drives_answer(found: Choices, stock: Stock, locale: Locale) -> DrivesAnswer:
    """All that was chosen, as JSON has it."""
    return DrivesAnswer(
        speed_rpm=round(found.problem.speed * 60, 1),
        drives=tuple(drive_answer(found.problem, one, locale) for one in found.drives),
        misses=tuple(_miss(one, locale) for one in found.misses),
        order_first=facts(found.to_order, locale),
        looked_at=found.looked_at,
        exhaustive=found.exhaustive,
        dropped=found.dropped,
        stock_faults=facts((fault.message for fault in stock.faults), locale),
        stock_remarks=facts(stock.remarks, locale),
    )


def drive_answer(problem: Problem, drive: Drive, locale: Locale) -> DriveAnswer:
    """One drive, as JSON has it."""
    candidate, route = drive.candidate, drive.seat.route
    beside = compared(problem, candidate.choices, drive.seat)
    return DriveAnswer(
        original=drive.original,
        makers_approval_needed=not drive.original,
        check_again=() if drive.original else facts(RECHECK, locale),
        parts_changed=candidate.changed,
        sheaves=tuple(
            _sheave(post, choice)
            for post, choice in zip(problem.posts, candidate.choices, strict=True)
            if post.shaft
        ),
        belt=_belt(candidate.belt),
        ratios=_ratios(problem, drive, locale),
        never_above_rpm=floor_rpm(drive.window.ceiling),
        never_below_rpm=ceil_rpm(drive.window.floor),
        pass_below_rpm=floor_rpm(drive.window.pass_below),
        margin=_finite(candidate.margin, 6),
        moving=_moving(problem, drive),
        centre_mm=_centres(problem, drive),
        wraps_deg={
            p.name: round(math.degrees(w), 1) for p, w in zip(route.pulleys, route.wraps, strict=True)
        },
        grip_margin=_finite(candidate.grip, 4),
        pulls_n=None if drive.load is None else _pulls(drive.load),
        rim_speed_m_s=round(beside.rim_speed, 2),
        back_bends=beside.back_bends,
        price=round(candidate.price, 2),
        ties=candidate.ties,
        notes=facts((*(() if drive.original else (NOT_ORIGINAL,)), *drive.notes), locale),
    )


def _sheave(post: Post, choice: Choice) -> SheaveAnswer:
    return SheaveAnswer(
        place=post.name,
        shaft=post.shaft,
        section=choice.section,
        outside_mm=round(choice.outside * 1000, 2),
        outside_in=round(choice.outside / 0.0254, 4),
        stock_number=choice.number or None,
        changed=choice.changed,
        part=choice.part,
    )


def _belt(choice: BeltChoice) -> BeltAnswer:
    belt = choice.belt
    return BeltAnswer(
        name=belt.name,
        section=belt.section,
        line=belt.line,
        length_mm=round(belt.length * 1000, 1),
        stock_number=choice.number or None,
        changed=choice.changed,
        part=belt.part,
    )


def _ratios(problem: Problem, drive: Drive, locale: Locale) -> tuple[RatioAnswer, ...]:
    shafts = {post.shaft for post in problem.posts}
    return tuple(
        RatioAnswer(
            one.driven,
            tuple(
                WayAnswer(
                    way.name if isinstance(way.name, str) else say(way.name, locale),
                    round(way.value.value, 6),
                )
                for way in one.alternatives
            ),
        )
        for one in drive.machine.couplings
        if one.driven in shafts
    )


def _moving(problem: Problem, drive: Drive) -> MovingAnswer:
    return MovingAnswer(
        name=problem.moving,
        x_mm=round(drive.seat.place[0] * 1000, 2),
        y_mm=round(drive.seat.place[1] * 1000, 2),
        share_of_travel=round(drive.seat.share, 4),
        share_left_stretched=round(drive.share_left, 4),
    )


def _centres(problem: Problem, drive: Drive) -> float | None:
    """Distance between the shafts of a plain pair. [mm]"""
    if len(problem.posts) != 2:
        return None
    one, other = drive.seat.route.pulleys
    return round(math.hypot(one.x - other.x, one.y - other.y) * 1000, 2)


def _pulls(load: Load) -> PullsAnswer:
    return PullsAnswer(
        tight=round(load.tensions.tight, 1),
        slack=round(load.tensions.slack, 1),
        static=round(load.tensions.static, 1),
        centrifugal=round(load.tensions.centrifugal, 1),
        engine_shaft=round(load.engine_shaft, 1),
    )


def _finite(share: float, digits: int) -> float | None:
    """A share where there is one; a drive without limit or load has an endless margin."""
    return round(share, digits) if math.isfinite(share) else None


def _miss(miss: Miss, locale: Locale) -> MissAnswer:
    told = fact(miss.message, locale)
    return MissAnswer(told.code, told.values, str(told), miss.buy)
