"""Say chosen drives line by line."""

import math
from collections.abc import Iterator
from functools import partial

from snath.decisions.drive.choose import Choices
from snath.decisions.drive.confirm import NOT_ORIGINAL, RECHECK, Drive
from snath.decisions.drive.problem import Problem
from snath.decisions.drive.stock import Stock
from snath.quantities.message import Amount, Message
from snath.shop.answers.drive import drive_answer
from snath.shop.answers.drive_types import BeltAnswer, DriveAnswer, SheaveAnswer
from snath.shop.answers.heads import BENCH_CAUTION, turning
from snath.words.render import Locale, named, say


def drives_lines(found: Choices, stock: Stock, shown: int, locale: Locale) -> Iterator[str]:
    """Everything that was found, for the terminal."""
    said = partial(say, locale=locale)
    yield from map(said, drives_head(found, stock))
    if found.drives:
        yield said(Message("terminal.original-first"))
    for number, drive in enumerate(found.drives[:shown], start=1):
        yield ""
        yield from drive_lines(found.problem, drive, number, locale)
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


def drives_head(found: Choices, stock: Stock) -> Iterator[Message]:
    """What was looked through, what of it could not be used, and what to order before anything else."""
    yield from (Message("terminal.left-out", fault=fault.message) for fault in stock.faults)
    yield from stock.remarks
    speed = Amount(found.problem.speed, "rotation")
    yield Message("terminal.chosen-for", speed=speed, looked_at=found.looked_at)
    if not found.exhaustive:
        yield Message("terminal.not-exhaustive")
    yield from (Message("terminal.order-first", part=part) for part in found.to_order)


def _head(original: bool, changed: int) -> Message:
    if not changed:
        return Message("terminal.as-it-is")
    if original:
        return Message("terminal.original-parts")
    return (
        Message("terminal.one-changed") if changed == 1 else Message("terminal.changed-parts", count=changed)
    )


def drive_lines(problem: Problem, drive: Drive, number: int, locale: Locale) -> Iterator[str]:
    """One drive: its parts and where they come from, its ratios, what they leave the engine, and how the belt runs."""
    said = partial(say, locale=locale)
    data = drive_answer(problem, drive, locale)
    head = _head(drive.original, data.parts_changed)
    alike = said(Message("terminal.alike", count=data.ties)) if data.ties > 1 else ""
    yield said(Message("terminal.drive", number=number, head=head, price=data.price)) + alike
    yield from _piece_lines(data, locale)
    for row in data.ratios:
        ways = ", ".join(
            said(Message("terminal.ratio", ratio=way.ratio, name=way.name)) for way in row.alternatives
        )
        yield f"   {named(row.shaft, locale)}: {ways}"
    never, passes = (
        turning(None if rpm is None else rpm / 60) for rpm in (data.never_above_rpm, data.pass_below_rpm)
    )
    margin = Amount(drive.candidate.margin, "share")
    yield f"   {said(Message('terminal.drive-limits', never=never, passes=passes, margin=margin))}"
    yield from (f"   {said(line)}" for line in _run_lines(data, problem.positions[0].name))
    if not drive.original:
        yield f"   {said(NOT_ORIGINAL)}."
    yield from (f"   {said(note)}" for note in drive.notes)


def _piece_lines(data: DriveAnswer, locale: Locale) -> Iterator[str]:
    """What is fitted at each place, and where it comes from."""
    said = partial(say, locale=locale)
    for sheave in data.sheaves:
        size = said(Message("terminal.size", size=Amount(sheave.outside_mm / 1000, "length")))
        yield f"   {named(sheave.place, locale):<14} {size:>10}  {said(_where_from(sheave))}"
    belt = data.belt
    yield f"   {said(Message('terminal.belt')):<14} {belt.name:>10}  {said(_where_from(belt))}"


def _where_from(piece: SheaveAnswer | BeltAnswer) -> Message:
    if not piece.changed:
        return Message("terminal.stays")
    number = piece.stock_number or ""
    if piece.part:
        return Message("terminal.stock-number-part", number=number, part=piece.part)
    return Message("terminal.stock-number", number=number)


def _run_lines(data: DriveAnswer, engine: str) -> Iterator[Message]:
    """How the belt grips and where its movable pulley sits."""
    grip = data.grip_margin
    known = Message("terminal.not-known") if grip is None else Amount(grip, "share")
    yield Message("terminal.grip", grip=known, wrap=Amount(math.radians(data.wraps_deg[engine]), "angle"))
    if data.centre_mm is not None:
        yield Message("terminal.centres", centres=Amount(data.centre_mm / 1000, "length"))
    moving = data.moving
    yield Message(
        "terminal.moving",
        name=moving.name,
        x=Amount(moving.x_mm / 1000, "length"),
        y=Amount(moving.y_mm / 1000, "length"),
        left=Amount(moving.share_left_stretched, "share"),
    )
