"""Chosen drives as the terminal prints them."""

import math
from collections.abc import Iterator
from typing import Any

from snath.decisions.drive.choose import Choices
from snath.decisions.drive.confirm import NOT_ORIGINAL, RECHECK, Drive
from snath.decisions.drive.problem import Problem
from snath.decisions.drive.stock import Stock
from snath.quantities.message import Amount, Message
from snath.shop.answers.heads import BENCH_CAUTION
from snath.shop.cli.answer import said
from snath.shop.cli.drive_data import drive_data


def drive_lines(found: Choices, stock: Stock, shown: int) -> Iterator[str]:
    """Everything that was found, for the terminal."""
    problem = found.problem
    for fault in stock.faults:
        yield said(Message("terminal.left-out", fault=fault.message))
    yield from map(said, stock.remarks)
    yield said(
        Message("terminal.chosen-for", speed=Amount(problem.speed, "rotation"), looked_at=found.looked_at)
    )
    if not found.exhaustive:
        yield said(Message("terminal.not-exhaustive"))
    yield from (said(Message("terminal.order-first", part=part)) for part in found.to_order)
    if found.drives:
        yield said(Message("terminal.original-first"))
    for number, drive in enumerate(found.drives[:shown], start=1):
        yield ""
        yield from _lines(problem, drive, number)
    if any(not drive.original for drive in found.drives):
        yield ""
        yield said(Message("terminal.check-again", checks=RECHECK))
    if len(found.drives) > shown:
        yield ""
        yield said(Message("terminal.more-with-json", count=len(found.drives) - shown))
    if not found.drives:
        yield said(Message("terminal.nothing-in-stock"))
        yield from (f"  {said(miss.message)}" for miss in found.misses)
    yield ""
    yield said(BENCH_CAUTION)


def _head(original: bool, changed: int) -> Message:
    if not changed:
        return Message("terminal.as-it-is")
    if original:
        return Message("terminal.original-parts")
    return (
        Message("terminal.one-changed") if changed == 1 else Message("terminal.changed-parts", count=changed)
    )


def _lines(problem: Problem, drive: Drive, number: int) -> Iterator[str]:
    data = drive_data(problem, drive)
    head = _head(drive.original, data["parts_changed"])
    ties = data["ties"]
    alike = said(Message("terminal.alike", count=ties)) if ties > 1 else ""
    yield said(Message("terminal.drive", number=number, head=head, price=data["price"])) + alike
    yield from _piece_lines(data)
    for row in data["ratios"]:
        ways = ", ".join(
            said(Message("terminal.ratio", ratio=r["ratio"], name=r["name"])) for r in row["alternatives"]
        )
        yield f"   {row['shaft']}: {ways}"
    never, passes = (Amount(data[key] / 60, "rotation") for key in ("never_above_rpm", "pass_below_rpm"))
    margin = Amount(drive.candidate.margin, "share")
    yield f"   {said(Message('terminal.drive-limits', never=never, passes=passes, margin=margin))}"
    yield from (f"   {said(line)}" for line in _run_lines(data, problem.posts[0].name))
    if not drive.original:
        yield f"   {said(NOT_ORIGINAL)}."
    yield from (f"   {said(note)}" for note in drive.notes)


def _piece_lines(data: dict[str, Any]) -> Iterator[str]:
    """What is fitted at each place, and where it comes from."""
    for sheave in data["sheaves"]:
        size = said(Message("terminal.size", size=Amount(sheave["outside_mm"] / 1000, "length")))
        yield f"   {sheave['place']:<14} {size:>10}  {said(_where_from(sheave))}"
    belt = data["belt"]
    yield f"   {said(Message('terminal.belt')):<14} {belt['name']:>10}  {said(_where_from(belt))}"


def _where_from(piece: dict[str, Any]) -> Message:
    if not piece["changed"]:
        return Message("terminal.stays")
    number = piece["stock_number"]
    if piece.get("part"):
        return Message("terminal.stock-number-part", number=number, part=piece["part"])
    return Message("terminal.stock-number", number=number)


def _run_lines(data: dict[str, Any], engine: str) -> Iterator[Message]:
    """How the belt grips and where its movable pulley sits."""
    grip = data["grip_margin"]
    known = Message("terminal.not-known") if grip is None else Amount(grip, "share")
    yield Message("terminal.grip", grip=known, wrap=Amount(math.radians(data["wraps_deg"][engine]), "angle"))
    if data["centre_mm"] is not None:
        yield Message("terminal.centres", centres=Amount(data["centre_mm"] / 1000, "length"))
    moving = data["moving"]
    yield Message(
        "terminal.moving",
        name=moving["name"],
        x=Amount(moving["x_mm"] / 1000, "length"),
        y=Amount(moving["y_mm"] / 1000, "length"),
        left=Amount(moving["share_left_stretched"], "share"),
    )
