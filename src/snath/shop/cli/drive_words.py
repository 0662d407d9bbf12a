"""Chosen drives as the terminal prints them."""

from collections.abc import Iterator
from typing import Any

from snath.decisions.drive.choose import Choices
from snath.decisions.drive.confirm import NOT_ORIGINAL, RECHECK, Drive
from snath.decisions.drive.problem import Problem
from snath.decisions.drive.stock import Stock
from snath.quantities.units import show
from snath.shop.cli.answer import said
from snath.shop.cli.drive_data import drive_data
from snath.shop.cli.words import BENCH_CAUTION

FIRST = "Original parts come first: the machine's maker tested the stop, the covers and the noise with them."


def drive_lines(found: Choices, stock: Stock, shown: int) -> Iterator[str]:
    """Everything that was found, for the terminal."""
    for fault in stock.faults:
        yield f"Left out: {said(fault.message)}"
    yield from map(said, stock.remarks)
    problem = found.problem
    yield f"Chosen for {show(problem.speed, 'rpm', digits=0)} with no load. {found.looked_at:,} drives looked at."
    if not found.exhaustive:
        yield "NOT EXHAUSTIVE: the search stopped at its limit; there may be better drives."
    for part in found.to_order:
        yield f"Order first: the maker's part {said(part)} is not in stock."
    if found.drives:
        yield FIRST
    for number, drive in enumerate(found.drives[:shown], start=1):
        yield ""
        yield from _lines(problem, drive, number)
    if any(not drive.original for drive in found.drives):
        yield ""
        yield (
            "After fitting anything that is not original, check again: " + "; ".join(map(said, RECHECK)) + "."
        )
    if len(found.drives) > shown:
        yield ""
        yield f"{len(found.drives) - shown} more with --json."
    if not found.drives:
        yield "Nothing in stock will do."
        yield from (f"  {said(miss.message)}" for miss in found.misses)
    yield ""
    yield said(BENCH_CAUTION)


def _parts(changed: int) -> str:
    return "1 part changed" if changed == 1 else f"{changed} parts changed"


def _lines(problem: Problem, drive: Drive, number: int) -> Iterator[str]:
    data = drive_data(problem, drive)
    head = "original parts" if drive.original and data["parts_changed"] else ""
    head = head or ("as it is" if not data["parts_changed"] else _parts(data["parts_changed"]))
    ties = f", {data['ties']} drives alike" if data["ties"] > 1 else ""
    yield f"{number}. {head}, price {data['price']:.2f}{ties}"
    yield from _piece_lines(data)
    for row in data["ratios"]:
        ways = ", ".join(f"{r['ratio']:.4f} {r['name']}" for r in row["alternatives"])
        yield f"   {row['shaft']}: {ways}"
    yield (
        f"   never above {data['never_above_rpm']:,} rpm, a reading passes below {data['pass_below_rpm']:,} rpm; "
        f"margin {drive.candidate.margin:.1%} in the worst convention"
    )
    yield from _run_lines(data, problem.posts[0].name)
    if not drive.original:
        yield f"   {said(NOT_ORIGINAL)}."
    yield from (f"   {said(note)}" for note in drive.notes)


def _piece_lines(data: dict[str, Any]) -> Iterator[str]:
    """What is fitted at each place, and where it comes from."""
    for sheave in data["sheaves"]:
        number_words = f"stock number {sheave['stock_number']}" if sheave["changed"] else "stays"
        part = f", maker's part {sheave['part']}" if sheave["part"] and sheave["changed"] else ""
        yield f"   {sheave['place']:<14} {show(sheave['outside_mm'] / 1000, 'in'):>10}  {number_words}{part}"
    belt = data["belt"]
    where_from = f"stock number {belt['stock_number']}" if belt["changed"] else "stays"
    yield f"   {'belt':<14} {belt['name']:>10}  {where_from}"


def _run_lines(data: dict[str, Any], engine: str) -> Iterator[str]:
    """How the belt grips and where its movable pulley sits."""
    grip = "not known" if data["grip_margin"] is None else f"{data['grip_margin']:+.0%}"
    wrap = data["wraps_deg"][engine]
    yield f"   grip margin {grip} on the sheave that slips first; belt round the engine's {wrap:.0f} deg"
    moving = data["moving"]
    where = f"centres {data['centre_mm']:.1f} mm, " if data["centre_mm"] is not None else ""
    yield (
        f"   {where}{moving['name']} at {moving['x_mm']:.1f}, {moving['y_mm']:.1f} mm; take-up left when stretched "
        f"{moving['share_left_stretched']:.0%}"
    )
