"""Which drives from stock meet every hard constraint and are beaten by none? Exact, for any number of spindles.

Speeds come first, as they need only two sheaves and throw out most; then length and wraps by look-up; then
the belts. What a table cannot tell, whether the belt runs into something, is asked of `route.lay` for the
few drives that would be shown.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from snath.decisions.drive.layout import runs
from snath.decisions.drive.problem import BeltChoice, Candidate, Choice, Found, Problem
from snath.decisions.drive.rank import Values, front, not_beaten, vectors
from snath.decisions.drive.shelf import Kind, kinds
from snath.decisions.drive.speeds import Speeds, speeds_for
from snath.decisions.drive.tables import Index, Tables, lengths_and_wraps, most_driver_wrap, tables_for
from snath.formulas.belts.route import CONTACT_NEEDED

CHUNK = 400_000  # drives worked out at a time
MOST = 500_000_000  # drives looked at before the search gives up being exhaustive


@dataclass(slots=True)
class _Archive:
    """The best so far: rows of `rank.vectors` and, for each, every drive that has them."""

    rows: Values = field(default_factory=lambda: np.empty((0, 4)))
    drives: dict[tuple[float, ...], list[tuple[tuple[Choice, ...], BeltChoice, int]]] = field(
        default_factory=dict
    )

    def add(self, row: Values, choices: tuple[Choice, ...], belt: BeltChoice, alike: int) -> None:
        key = tuple(row.tolist())
        if key in self.drives:
            self.drives[key].append((choices, belt, alike))
            return
        beaten = (row <= self.rows).all(axis=1)
        for old in self.rows[beaten]:
            del self.drives[tuple(old.tolist())]
        self.rows = np.concatenate([self.rows[~beaten], row[None]])
        self.drives[key] = [(choices, belt, alike)]

    def candidates(self) -> tuple[Candidate, ...]:
        found = []
        for row, drives in self.drives.items():
            choices, belt, _ = min(drives, key=lambda d: (*(c.rank for c in d[0]), d[1].rank))
            ties = sum(alike * math.prod(c.alike for c in chosen) for chosen, _, alike in drives)
            changed, margin, grip, price = row
            found.append(Candidate(choices, belt, int(changed), 0.0 - margin, 0.0 - grip, price, ties))
        return tuple(sorted(found, key=lambda c: (c.changed, -c.margin, -c.grip, c.price)))


def search(problem: Problem, *, most: int = MOST) -> Found:
    """Every drive that no other beats in parts changed, margin, grip margin and price.

    Parameters
    ----------
    problem : Problem
        Posts, choices, belts and constraints.
    most : int
        Drives to look at; a search that would need more says it was not exhaustive.

    Returns
    -------
    Found
        One drive for each set of four figures, that of the lowest stock numbers, with ties counted.
    """
    archive, looked_at = _Archive(), 0
    for kind in kinds(problem):
        tables = tables_for(problem, kind.choices, depth=kind.depth, section=kind.section)
        speeds = speeds_for(problem, kind.choices)
        shelf, most_wraps = _Shelf(problem, kind), most_driver_wrap(tables)
        for index in _drives(problem, tables, speeds):
            if looked_at + len(index[0]) > most:
                return Found(archive.candidates(), looked_at, exhaustive=False)
            looked_at += len(index[0])
            _look(problem, kind, tables, speeds, shelf, index, most_wraps[index[0][0]], archive)
    return Found(archive.candidates(), looked_at, exhaustive=True)


def _drives(problem: Problem, tables: Tables, speeds: Speeds) -> Iterator[list[Index]]:
    """All drives whose speeds and rims pass two by two with the engine's sheave, a chunk at a time."""
    for driver in np.flatnonzero(speeds.driver_passes):
        allowed = [np.array([driver])]
        for place in range(1, len(problem.posts)):
            passes = tables.clear[0, place][driver] & speeds.passes[place][driver]
            allowed.append(np.flatnonzero(passes))
        yield from _products(allowed)


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


class _Shelf:
    """The belts of one kind: which is the best that the take-up can reach, for any two lengths of way."""

    def __init__(self, problem: Problem, kind: Kind) -> None:
        self.belts = kind.belts
        self.shortest = np.array([b.belt.length - b.belt.tolerance for b in kind.belts])
        self.longest = np.array(
            [(b.belt.length + b.belt.tolerance) * (1 + problem.stretch) for b in kind.belts]
        )
        n = len(kind.belts)
        self.by_shortest, self.by_longest = np.sort(self.shortest), np.sort(self.longest)
        from_short = np.searchsorted(self.by_shortest, self.shortest, "left")
        to_long = np.searchsorted(self.by_longest, self.longest, "left") + 1
        # best[i, j]: first belt in order of preference with shortest >= by_shortest[i], longest <= by_longest[j - 1]
        best = np.full((n + 1, n + 1), n)
        for belt in range(n - 1, -1, -1):
            best[from_short[belt], to_long[belt]] = belt
        best = np.minimum.accumulate(best, axis=1)
        self.best = np.minimum.accumulate(best[::-1], axis=0)[::-1]

    def choose(self, slack: Values, tight: Values) -> Index:
        """The preferred belt for ways from `slack` to `tight` long, `len(belts)` for none."""
        i = np.searchsorted(self.by_shortest, slack, "left")
        j = np.searchsorted(self.by_longest, tight, "right")
        chosen: Index = self.best[i, j]
        return chosen

    def alike(self, belt: int, slack: float, tight: float) -> int:
        """How many belts would serve as well as the one chosen."""
        fits = (self.shortest >= slack) & (self.longest <= tight)
        mine = self.belts[belt]
        return sum(
            (b.changed, b.price) == (mine.changed, mine.price)
            for b, fit in zip(self.belts, fits, strict=True)
            if fit
        )


def _look(
    problem: Problem,
    kind: Kind,
    tables: Tables,
    speeds: Speeds,
    shelf: _Shelf,
    index: list[Index],
    most_wrap: float,
    archive: _Archive,
) -> None:
    """Work out one chunk of drives and let the good ones into the archive."""
    index = _kept(index, speeds.together(index, problem.spread))
    for (i, j), clear in tables.clear.items():
        if len(kind.choices[i]) > 1 or len(kind.choices[j]) > 1:
            index = _kept(index, clear[index[i], index[j]])
        elif not clear[0, 0]:
            return
    changed, price = _sum(kind, index, "changed"), _sum(kind, index, "price")
    margin = speeds.margin(index)
    least_belt = 0.0 if any(not b.changed for b in kind.belts) else 1.0
    hopeful = vectors(changed + least_belt, margin, speeds.most_grip(index, most_wrap), price)
    index = _kept(index, not_beaten(hopeful, by=archive.rows))
    if not len(index[0]):
        return
    (slack, tight), wraps, round_once = lengths_and_wraps(tables, index)
    belt = shelf.choose(slack, tight)
    passes = round_once & (belt < len(kind.belts))
    least = [np.minimum(a, b) for a, b in zip(*wraps, strict=True)]
    for post, wrap in zip(problem.posts, least, strict=True):
        passes &= wrap >= (problem.least_wrap if post.loaded else CONTACT_NEEDED)
    index, belt, slack, tight = _kept(index, passes), belt[passes], slack[passes], tight[passes]
    if not len(belt):
        return
    grip = speeds.grip(index, [wrap[passes] for wrap in least])
    belt_changed = np.array([b.changed for b in kind.belts], float)[belt]
    belt_price = np.array([b.price for b in kind.belts])[belt]
    rows = vectors(
        _sum(kind, index, "changed") + belt_changed,
        speeds.margin(index),
        grip,
        _sum(kind, index, "price") + belt_price,
    )
    open_places = np.flatnonzero(not_beaten(rows, by=archive.rows))
    while len(open_places):
        best = open_places[front(rows[open_places])]
        bad = []
        for place in best:
            choices = tuple(kind.choices[i][index[i][place]] for i in range(len(index)))
            chosen = int(belt[place])
            if runs(problem, choices, kind.belts[chosen].belt):
                archive.add(
                    rows[place], choices, kind.belts[chosen], shelf.alike(chosen, slack[place], tight[place])
                )
            else:
                bad.append(place)
        if not bad:
            return
        open_places = np.setdiff1d(open_places, best)
        open_places = open_places[not_beaten(rows[open_places], by=archive.rows)]


def _kept(index: list[Index], mask: NDArray[np.bool_]) -> list[Index]:
    return [column[mask] for column in index]


def _sum(kind: Kind, index: list[Index], what: str) -> Values:
    columns = [
        np.array([float(getattr(c, what)) for c in row])[i]
        for row, i in zip(kind.choices, index, strict=True)
    ]
    total: Values = np.sum(columns, axis=0)
    return total
