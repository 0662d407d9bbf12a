"""Find what comes nearest where nothing in stock will do, and the single part to buy that would open it."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from snath.decisions.drive.belt import Belt
from snath.decisions.drive.positions import BeltChoice, Choice, Position
from snath.decisions.drive.problem import Candidate, Problem
from snath.decisions.drive.search import GoOn, always, search
from snath.decisions.window.sold import sizes_sold
from snath.formulas.belts.lengths import Line
from snath.formulas.belts.route_faults import CONTACT_NEEDED
from snath.formulas.belts.sections import groove_of, groove_offset, has_offset
from snath.formulas.belts.travel import allowance
from snath.quantities.message import Amount, Message, term

SMALLEST, LARGEST = 0.0508, 0.2032  # m; 2 to 8 in
ROUNDING = 1e-9  # m
BELT_STEP = 0.0254 / 2  # m; belts come by the half inch at best
BUY = "to buy"
TRIED = 20_000_000  # drives looked at for one advice


@dataclass(frozen=True, slots=True)
class NearMiss:
    """One way in which stock just fails, or one part to buy.

    Attributes
    ----------
    message : Message
    candidate : Candidate or None
        The drive it speaks of.
    buy : bool
        True where buying that one part opens the drive.
    """

    message: Message
    candidate: Candidate | None
    buy: bool = False


def near_misses(problem: Problem, *, go_on: GoOn = always) -> tuple[NearMiss, ...]:
    """Nearest misses first by kind, then what to buy, fewest parts changed first."""
    return (*_nearly(problem, go_on), *_to_buy(problem, go_on))


def _nearly(problem: Problem, go_on: GoOn) -> Iterator[NearMiss]:
    """One constraint let go at a time."""
    free = replace(problem, positions=tuple(replace(p, limit=math.inf) for p in problem.positions))
    if found := search(free, most=TRIED, go_on=go_on).candidates:
        held = {p.name: p.limit for p in problem.positions}
        best = min(found, key=lambda c: _over(problem, c, held))
        yield NearMiss(
            Message("drive.too-fast", over=Amount(_over(problem, best, held), "share")),
            best,
        )
    slow = replace(problem, positions=tuple(replace(p, floor=0.0) for p in problem.positions))
    if found := search(slow, most=TRIED, go_on=go_on).candidates:
        best = min(found, key=lambda c: c.margin)
        yield NearMiss(
            Message("drive.too-slow", under=Amount(best.margin, "share")),
            best,
        )
    if found := search(replace(problem, least_wrap=CONTACT_NEEDED), most=TRIED, go_on=go_on).candidates:
        best = max(found, key=lambda c: c.grip)
        yield NearMiss(Message("drive.too-little-wrap", least=Amount(problem.least_wrap, "angle")), best)
    if (
        found := search(replace(problem, spread=None), most=TRIED, go_on=go_on).candidates
        if problem.spread is not None
        else ()
    ):
        yield NearMiss(Message("drive.blades-unlike"), found[0])
    loose = replace(problem, stretch=0.0, belts=tuple(_without_tolerance(b) for b in problem.belts))
    if found := search(loose, most=TRIED, go_on=go_on).candidates:
        yield NearMiss(Message("drive.no-room-to-tighten"), found[0])


def _over(problem: Problem, candidate: Candidate, limits: dict[str, float]) -> float:
    """By which share the worst shaft is over its limit."""
    engine, worst = candidate.choices[0], 0.0
    for position, choice in zip(problem.positions[1:], candidate.choices[1:], strict=True):
        if position.loaded:
            two = (
                engine.outside / choice.outside,
                (engine.outside - engine.offset) / (choice.outside - choice.offset),
            )
            worst = max(worst, max(two) * problem.speed / limits[position.name] - 1)
    return worst


def _without_tolerance(choice: BeltChoice) -> BeltChoice:
    return replace(choice, belt=replace(choice.belt, tolerance=0.0))


def _to_buy(problem: Problem, go_on: GoOn) -> Iterator[NearMiss]:
    found = [
        *_belt_to_buy(problem, go_on),
        *(
            m
            for p in problem.positions
            if p.loaded and not p.stays
            for m in _sheave_to_buy(problem, p, go_on)
        ),
    ]
    yield from sorted(
        found, key=lambda m: (m.candidate.changed, -m.candidate.margin) if m.candidate else (99, 0.0)
    )


def _belt_to_buy(problem: Problem, go_on: GoOn) -> Iterator[NearMiss]:
    sections = sorted({c.section for c in problem.positions[0].choices})
    for section in sections:
        line: Line = "datum" if has_offset(section) else "outside"
        lengths = np.arange(0.4, 4.0, BELT_STEP)
        bought = tuple(
            BeltChoice(Belt(BUY, section, float(x), 0.004 + 0.001 * float(x), line), i, BUY, changed=True)
            for i, x in enumerate(lengths)
        )
        candidates = search(replace(problem, belts=bought), most=TRIED, go_on=go_on).candidates
        if candidates:
            best = candidates[0]
            length, room = best.belt.belt.length, allowance(length=best.belt.belt.length)[0]
            belt = Message(
                "drive.buy-belt",
                section=section,
                line=term("line", line),
                length=Amount(length, "length"),
                room=Amount(min(room, BELT_STEP), "length"),
            )
            yield NearMiss(_with(belt, problem, best), best, buy=True)


def _sheave_to_buy(problem: Problem, position: Position, go_on: GoOn) -> Iterator[NearMiss]:
    for section in sorted({groove_of(b.belt.section) for b in problem.belts}):
        if not has_offset(section):
            continue
        offset, most = groove_offset(section), min(position.room, LARGEST) + ROUNDING
        sizes = (x for x in sizes_sold(section, offset=offset) if SMALLEST - ROUNDING <= x <= most)
        bought = tuple(Choice(x, offset, section, i, f"{BUY} {i}", changed=True) for i, x in enumerate(sizes))
        if not bought:
            continue
        positions = tuple(replace(p, choices=bought) if p is position else p for p in problem.positions)
        candidates = search(replace(problem, positions=positions), most=TRIED, go_on=go_on).candidates
        if candidates:
            best = candidates[0]
            size = best.choices[problem.positions.index(position)].outside
            sheave = Message(
                "drive.buy-sheave", name=position.name, section=section, outside=Amount(size, "length")
            )
            yield NearMiss(_with(sheave, problem, best), best, buy=True)


def _with(bought: Message, problem: Problem, candidate: Candidate) -> Message:
    """What to buy, and what else has to be changed, from stock."""
    others = [
        Message("drive.stock-number-on", number=choice.number, name=position.name)
        for position, choice in zip(problem.positions, candidate.choices, strict=True)
        if choice.changed and not choice.number.startswith(BUY)
    ]
    if candidate.belt.changed and candidate.belt.number != BUY:
        name, number = candidate.belt.belt.name, candidate.belt.number
        others.append(Message("drive.belt-number", belt=name, number=number))
    if others:
        return Message("drive.bought-with", bought=bought, others=tuple(others))
    return Message("drive.bought", bought=bought)
