"""A chosen drive as JSON has it, and as the terminal prints it."""

import math
from collections.abc import Iterator
from typing import Any

from snath.decisions.drive.choose import Choices
from snath.decisions.drive.confirm import NOT_ORIGINAL, RECHECK, Drive, compared
from snath.decisions.drive.load import Load
from snath.decisions.drive.misses import Miss
from snath.decisions.drive.posts import Choice, Post
from snath.decisions.drive.problem import Problem
from snath.decisions.drive.stock import Stock
from snath.quantities.units import show
from snath.shop.cli.common import ceil_rpm, floor_rpm
from snath.shop.cli.words import BENCH_CAUTION

FIRST = "Original parts come first: the machine's maker tested the stop, the covers and the noise with them."


def drive_data(problem: Problem, drive: Drive) -> dict[str, Any]:
    """One drive; lengths in mm, angles in degrees, shares as fractions."""
    candidate, belt = drive.candidate, drive.candidate.belt
    beside = compared(problem, candidate.choices, drive.seat)
    return {
        "original": drive.original,
        "makers_approval_needed": not drive.original,
        "check_again": [] if drive.original else list(RECHECK),
        "parts_changed": candidate.changed,
        "sheaves": [
            _sheave(post, choice)
            for post, choice in zip(problem.posts, candidate.choices, strict=True)
            if post.shaft
        ],
        "belt": {
            "name": belt.belt.name,
            "section": belt.belt.section,
            "line": belt.belt.line,
            "length_mm": round(belt.belt.length * 1000, 1),
            "stock_number": belt.number or None,
            "changed": belt.changed,
            "part": belt.belt.part,
        },
        "ratios": [
            {
                "shaft": c.driven,
                "alternatives": [{"name": r.name, "ratio": round(r.value.value, 6)} for r in c.alternatives],
            }
            for c in drive.machine.couplings
            if c.driven in {post.shaft for post in problem.posts}
        ],
        "never_above_rpm": floor_rpm(drive.window.ceiling),
        "never_below_rpm": ceil_rpm(drive.window.floor),
        "pass_below_rpm": floor_rpm(drive.window.pass_below),
        "margin": round(candidate.margin, 6) if math.isfinite(candidate.margin) else None,
        "moving": {
            "name": problem.moving,
            "x_mm": round(drive.seat.place[0] * 1000, 2),
            "y_mm": round(drive.seat.place[1] * 1000, 2),
            "share_of_travel": round(drive.seat.share, 4),
            "share_left_stretched": round(drive.share_left, 4),
        },
        "centre_mm": _centres(problem, drive),
        "wraps_deg": {
            p.name: round(math.degrees(w), 1)
            for p, w in zip(drive.seat.route.pulleys, drive.seat.route.wraps, strict=True)
        },
        "grip_margin": round(candidate.grip, 4) if math.isfinite(candidate.grip) else None,
        "pulls_n": None if drive.load is None else _pulls(drive.load),
        "rim_speed_m_s": round(beside.rim_speed, 2),
        "back_bends": beside.back_bends,
        "price": round(candidate.price, 2),
        "ties": candidate.ties,
        "notes": [*([] if drive.original else [f"{NOT_ORIGINAL}."]), *drive.notes],
    }


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
    return {"words": miss.words, "buy": miss.buy}


def drive_lines(found: Choices, stock: Stock, shown: int) -> Iterator[str]:
    """Everything that was found, for the terminal."""
    for fault in stock.faults:
        yield f"Left out: {fault}"
    yield from stock.remarks
    problem = found.problem
    yield f"Chosen for {show(problem.speed, 'rpm', digits=0)} with no load. {found.looked_at:,} drives looked at."
    if not found.exhaustive:
        yield "NOT EXHAUSTIVE: the search stopped at its limit; there may be better drives."
    for part in found.to_order:
        yield f"Order first: the maker's part {part} is not in stock."
    if found.drives:
        yield FIRST
    for number, drive in enumerate(found.drives[:shown], start=1):
        yield ""
        yield from _lines(problem, drive, number)
    if any(not drive.original for drive in found.drives):
        yield ""
        yield "After fitting anything that is not original, check again: " + "; ".join(RECHECK) + "."
    if len(found.drives) > shown:
        yield ""
        yield f"{len(found.drives) - shown} more with --json."
    if not found.drives:
        yield "Nothing in stock will do."
        yield from (f"  {miss.words}" for miss in found.misses)
    yield ""
    yield BENCH_CAUTION


def _parts(changed: int) -> str:
    return "1 part changed" if changed == 1 else f"{changed} parts changed"


def _lines(problem: Problem, drive: Drive, number: int) -> Iterator[str]:
    data = drive_data(problem, drive)
    head = "original parts" if drive.original and data["parts_changed"] else ""
    head = head or ("as it is" if not data["parts_changed"] else _parts(data["parts_changed"]))
    ties = f", {data['ties']} drives alike" if data["ties"] > 1 else ""
    yield f"{number}. {head}, price {data['price']:.2f}{ties}"
    for sheave in data["sheaves"]:
        number_words = f"stock number {sheave['stock_number']}" if sheave["changed"] else "stays"
        part = f", maker's part {sheave['part']}" if sheave["part"] and sheave["changed"] else ""
        yield f"   {sheave['place']:<14} {show(sheave['outside_mm'] / 1000, 'in'):>10}  {number_words}{part}"
    belt = data["belt"]
    where_from = f"stock number {belt['stock_number']}" if belt["changed"] else "stays"
    yield f"   {'belt':<14} {belt['name']:>10}  {where_from}"
    for row in data["ratios"]:
        ways = ", ".join(f"{r['ratio']:.4f} {r['name']}" for r in row["alternatives"])
        yield f"   {row['shaft']}: {ways}"
    yield (
        f"   never above {data['never_above_rpm']:,} rpm, a reading passes below {data['pass_below_rpm']:,} rpm; "
        f"margin {drive.candidate.margin:.1%} in the worst convention"
    )
    grip = "not known" if data["grip_margin"] is None else f"{data['grip_margin']:+.0%}"
    wrap = data["wraps_deg"][problem.posts[0].name]
    yield f"   grip margin {grip} on the sheave that slips first; belt round the engine's {wrap:.0f} deg"
    moving = data["moving"]
    where = f"centres {data['centre_mm']:.1f} mm, " if data["centre_mm"] is not None else ""
    yield (
        f"   {where}{moving['name']} at {moving['x_mm']:.1f}, {moving['y_mm']:.1f} mm; take-up left when stretched "
        f"{moving['share_left_stretched']:.0%}"
    )
    if not drive.original:
        yield f"   {NOT_ORIGINAL}."
    yield from (f"   {note}" for note in drive.notes)
