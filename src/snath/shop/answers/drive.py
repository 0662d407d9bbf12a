"""Answer which sheaves and which belt from stock will do, or what just fails and what to buy."""

import math

from snath.decisions.drive.choose import Choices
from snath.decisions.drive.confirm import NOT_ORIGINAL, RECHECK, Drive, compared
from snath.decisions.drive.load import Load
from snath.decisions.drive.near_misses import NearMiss
from snath.decisions.drive.positions import BeltChoice, Choice, Position
from snath.decisions.drive.problem import Problem
from snath.decisions.drive.stock import Stock
from snath.shop.answers.drive_types import (
    BeltAnswer,
    DriveAnswer,
    DrivesAnswer,
    MissAnswer,
    MovingAnswer,
    PullsAnswer,
    RatioAnswer,
    SheaveAnswer,
    WayAnswer,
)
from snath.shop.answers.facts import fact, facts
from snath.shop.answers.speeds import ceil_rpm, floor_rpm
from snath.words.render import Locale, say


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
            _sheave(position, choice)
            for position, choice in zip(problem.positions, candidate.choices, strict=True)
            if position.shaft
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


def _sheave(position: Position, choice: Choice) -> SheaveAnswer:
    return SheaveAnswer(
        place=position.name,
        shaft=position.shaft,
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
    shafts = {position.shaft for position in problem.positions}
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
    if len(problem.positions) != 2:
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


def _miss(miss: NearMiss, locale: Locale) -> MissAnswer:
    told = fact(miss.message, locale)
    return MissAnswer(told.code, told.values, str(told), miss.buy)
