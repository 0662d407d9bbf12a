"""Search stock for drives that meet every hard constraint and are beaten by none: exact, any number of spindles.

Speeds come first, as they need only two sheaves and throw out most; then length and wraps by look-up; then
the belts. What a table cannot tell, whether the belt runs into something, is asked of `route.lay` for the
few drives that would be shown.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from snath.decisions.drive.archive import Archive, Entry
from snath.decisions.drive.belt_table import BeltTable
from snath.decisions.drive.layout import runs
from snath.decisions.drive.problem import Found, Problem
from snath.decisions.drive.rank import Values, front, not_beaten, vectors
from snath.decisions.drive.shelf import Kind, kinds
from snath.decisions.drive.speeds import Speeds, speeds_for
from snath.decisions.drive.tables import Index, Tables, lengths_and_wraps, most_driver_wrap, tables_for
from snath.formulas.belts.route_faults import CONTACT_NEEDED

CHUNK = 400_000  # drives worked out at a time at most
BATCH = 20_000  # and about so many, so that the best so far can throw out the rest early
MOST = 500_000_000  # drives looked at before the search gives up being exhaustive
GoOn = Callable[[], bool]


def always() -> bool:
    """Nobody is waiting."""
    return True


def search(problem: Problem, *, most: int = MOST, go_on: GoOn = always) -> Found:
    """Every drive that no other beats in parts changed, margin, grip margin and price.

    Parameters
    ----------
    problem : Problem
        Posts, choices, belts and constraints.
    most : int
        Drives to look at; a search that would need more says it was not exhaustive.
    go_on : callable
        Asked between batches; once it says no, the search stops where it is and says so too.

    Returns
    -------
    Found
        One drive for each set of four figures, that of the lowest stock numbers, with ties counted.
    """
    archive, looked_at = Archive(), 0
    for kind in kinds(problem):
        if not go_on():
            return Found(archive.candidates(), looked_at, exhaustive=False)
        tools = _tools(problem, kind)
        for index in _batches(_drives(problem, tools)):
            if looked_at + len(index[0]) > most or not go_on():
                return Found(archive.candidates(), looked_at, exhaustive=False)
            looked_at += len(index[0])
            _look(problem, tools, index, archive)
    return Found(archive.candidates(), looked_at, exhaustive=True)


@dataclass(frozen=True, slots=True)
class _Tools:
    """Everything that is worked out once for one kind of belt."""

    kind: Kind
    tables: Tables
    speeds: Speeds
    belts: BeltTable
    most_wraps: Values


def _tools(problem: Problem, kind: Kind) -> _Tools:
    tables = tables_for(problem, kind.choices, depth=kind.depth, section=kind.section)
    belts = BeltTable(kind.belts, problem.stretch)
    return _Tools(kind, tables, speeds_for(problem, kind.choices), belts, most_driver_wrap(tables))


def _drives(problem: Problem, tools: _Tools) -> Iterator[list[Index]]:
    """All drives whose speeds and rims pass two by two with the engine's sheave, a chunk at a time."""
    for driver in np.flatnonzero(tools.speeds.driver_passes):
        allowed = [np.array([driver])]
        for place in range(1, len(problem.positions)):
            passes = tools.tables.clear[0, place][driver] & tools.speeds.passes[place][driver]
            allowed.append(np.flatnonzero(passes))
        yield from _products(allowed)


def _batches(chunks: Iterator[list[Index]]) -> Iterator[list[Index]]:
    """Small chunks put together."""
    waiting: list[list[Index]] = []
    for chunk in chunks:
        waiting.append(chunk)
        if sum(len(c[0]) for c in waiting) >= BATCH:
            yield [np.concatenate(columns) for columns in zip(*waiting, strict=True)]
            waiting = []
    if waiting:
        yield [np.concatenate(columns) for columns in zip(*waiting, strict=True)]


def _products(allowed: list[Index]) -> Iterator[list[Index]]:
    size = math.prod(len(row) for row in allowed)
    if size == 0:
        return
    if size > CHUNK:
        longest = max(range(len(allowed)), key=lambda i: len(allowed[i]))
        for one in np.array_split(allowed[longest], 2):
            yield from _products([*allowed[:longest], one, *allowed[longest + 1 :]])
        return
    yield [grid.ravel() for grid in np.meshgrid(*allowed, indexing="ij")]


def _look(problem: Problem, tools: _Tools, index: list[Index], archive: Archive) -> None:
    """Work out one chunk of drives and let the good ones into the archive."""
    index = _clear(tools, _kept(index, tools.speeds.together(index, problem.spread)))
    price = tools.kind.prices(index)
    index, price = _kept(index, np.isfinite(price)), price[np.isfinite(price)]
    hopeful = vectors(
        tools.kind.parts_changed(index) + tools.belts.changed.min(),
        tools.speeds.margin(index),
        tools.speeds.most_grip(index, tools.most_wraps[index[0]]),
        price,
    )
    index = _kept(index, not_beaten(hopeful, by=archive.rows))
    if len(index[0]):
        _lay_out(problem, tools, index, archive)


def _lay_out(problem: Problem, tools: _Tools, index: list[Index], archive: Archive) -> None:
    """Length, wraps, belts and grip of drives whose speeds pass."""
    (slack, tight), wraps, passes = lengths_and_wraps(tools.tables, index)
    belt = tools.belts.choose(slack, tight)
    passes &= belt < len(tools.belts.belts)
    least = [np.minimum(a, b) for a, b in zip(*wraps, strict=True)]
    for position, wrap in zip(problem.positions, least, strict=True):
        passes &= wrap >= (problem.least_wrap if position.loaded else CONTACT_NEEDED)
    index, belt, slack, tight = _kept(index, passes), belt[passes], slack[passes], tight[passes]
    if not len(belt):
        return
    rows = vectors(
        tools.kind.parts_changed(index) + tools.belts.changed[belt],
        tools.speeds.margin(index),
        tools.speeds.grip(index, [wrap[passes] for wrap in least]),
        tools.kind.prices(index) + tools.belts.price[belt],
    )
    open_places = np.flatnonzero(not_beaten(rows, by=archive.rows))
    while len(open_places):
        best = open_places[front(rows[open_places])]
        stopped = False
        for place in best:
            places = tuple(int(column[place]) for column in index)
            chosen = tuple(row[i] for row, i in zip(tools.kind.choices, places, strict=True))
            if runs(problem, chosen, tools.belts.belts[belt[place]].belt):
                alike = tools.belts.alike(int(belt[place]), slack[place], tight[place])
                archive.add(rows[place], Entry(tools.kind, places, alike))
            else:
                stopped = True  # what this drive would have beaten gets its chance
        if not stopped:
            return
        open_places = np.setdiff1d(open_places, best)
        open_places = open_places[not_beaten(rows[open_places], by=archive.rows)]


def _clear(tools: _Tools, index: list[Index]) -> list[Index]:
    """Drives whose rims stand clear of each other."""
    for (i, j), clear in tools.tables.clear.items():
        index = _kept(index, clear[index[i], index[j]])
    return index


def _kept(index: list[Index], mask: NDArray[np.bool_]) -> list[Index]:
    return [column[mask] for column in index]
