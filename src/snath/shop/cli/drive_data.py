"""A chosen drive, or one that just fails, as JSON has it."""

import math
from typing import Any

from snath.decisions.drive.confirm import NOT_ORIGINAL, RECHECK, Drive, compared
from snath.decisions.drive.load import Load
from snath.decisions.drive.misses import Miss
from snath.decisions.drive.posts import BeltChoice, Choice, Post
from snath.decisions.drive.problem import Problem
from snath.shop.answers.speeds import ceil_rpm, floor_rpm
from snath.shop.cli.answer import fact, facts


def drive_data(problem: Problem, drive: Drive) -> dict[str, Any]:
    """One drive; lengths in mm, angles in degrees, shares as fractions."""
    candidate = drive.candidate
    return {
        "original": drive.original,
        "makers_approval_needed": not drive.original,
        "check_again": [] if drive.original else facts(RECHECK),
        "parts_changed": candidate.changed,
        "sheaves": [
            _sheave(post, choice)
            for post, choice in zip(problem.posts, candidate.choices, strict=True)
            if post.shaft
        ],
        "belt": _belt(candidate.belt),
        **_speeds(problem, drive),
        **_run(problem, drive),
        "price": round(candidate.price, 2),
        "ties": candidate.ties,
        "notes": facts((*(() if drive.original else (NOT_ORIGINAL,)), *drive.notes)),
    }


def _belt(choice: BeltChoice) -> dict[str, Any]:
    belt = choice.belt
    return {
        "name": belt.name,
        "section": belt.section,
        "line": belt.line,
        "length_mm": round(belt.length * 1000, 1),
        "stock_number": choice.number or None,
        "changed": choice.changed,
        "part": belt.part,
    }


def _speeds(problem: Problem, drive: Drive) -> dict[str, Any]:
    """Every ratio in its alternatives, and what they leave the engine."""
    shafts = {post.shaft for post in problem.posts}
    return {
        "ratios": [
            {
                "shaft": c.driven,
                "alternatives": [{"name": r.name, "ratio": round(r.value.value, 6)} for r in c.alternatives],
            }
            for c in drive.machine.couplings
            if c.driven in shafts
        ],
        "never_above_rpm": floor_rpm(drive.window.ceiling),
        "never_below_rpm": ceil_rpm(drive.window.floor),
        "pass_below_rpm": floor_rpm(drive.window.pass_below),
        "margin": _finite(drive.candidate.margin, 6),
    }


def _run(problem: Problem, drive: Drive) -> dict[str, Any]:
    """How the belt runs: the movable pulley, wraps, grip and pulls."""
    beside = compared(problem, drive.candidate.choices, drive.seat)
    route = drive.seat.route
    return {
        "moving": {
            "name": problem.moving,
            "x_mm": round(drive.seat.place[0] * 1000, 2),
            "y_mm": round(drive.seat.place[1] * 1000, 2),
            "share_of_travel": round(drive.seat.share, 4),
            "share_left_stretched": round(drive.share_left, 4),
        },
        "centre_mm": _centres(problem, drive),
        "wraps_deg": {
            p.name: round(math.degrees(w), 1) for p, w in zip(route.pulleys, route.wraps, strict=True)
        },
        "grip_margin": _finite(drive.candidate.grip, 4),
        "pulls_n": None if drive.load is None else _pulls(drive.load),
        "rim_speed_m_s": round(beside.rim_speed, 2),
        "back_bends": beside.back_bends,
    }


def _finite(share: float, digits: int) -> float | None:
    """A share where there is one; a drive without limit or load has an endless margin."""
    return round(share, digits) if math.isfinite(share) else None


def _pulls(load: Load) -> dict[str, float]:
    return {
        "tight": round(load.tensions.tight, 1),
        "slack": round(load.tensions.slack, 1),
        "static": round(load.tensions.static, 1),
        "centrifugal": round(load.tensions.centrifugal, 1),
        "engine_shaft": round(load.engine_shaft, 1),
    }


def _sheave(post: Post, choice: Choice) -> dict[str, Any]:
    return {
        "place": post.name,
        "shaft": post.shaft,
        "section": choice.section,
        "outside_mm": round(choice.outside * 1000, 2),
        "outside_in": round(choice.outside / 0.0254, 4),
        "stock_number": choice.number or None,
        "changed": choice.changed,
        "part": choice.part,
    }


def _centres(problem: Problem, drive: Drive) -> float | None:
    """Distance between the shafts of a plain pair."""
    if len(problem.posts) != 2:
        return None
    one, other = drive.seat.route.pulleys
    return round(math.hypot(one.x - other.x, one.y - other.y) * 1000, 2)


def miss_data(miss: Miss) -> dict[str, Any]:
    """One near miss or thing to buy."""
    return {**fact(miss.message).data, "buy": miss.buy}
