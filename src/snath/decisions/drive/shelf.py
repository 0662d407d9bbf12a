"""Reduce stock to the sizes that count for one kind of belt: pieces alike in all that matters are one.

A piece can be fitted once. Of a size that a drive takes several times the cheapest pieces are taken, so the
second one may cost more than the first, and there may be no third.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby, product

import numpy as np
from numpy.typing import NDArray

from snath.decisions.drive.positions import BeltChoice, Choice
from snath.decisions.drive.problem import Problem
from snath.formulas.belts.sections import groove_of

Floats = NDArray[np.float64]
Index = NDArray[np.int64]
Size = tuple[float, float, bool, tuple[int, ...]]  # outside, offset, cast, positions it fits

NOT_FROM_STOCK = -1


@dataclass(frozen=True, slots=True)
class Kind:
    """Belts of one groove whose lengths are those of one line, with the choices that go with them.

    Attributes
    ----------
    section : str
        Groove.
    depth : float
        Of the line below the belt's top. [m]
    belts : tuple of BeltChoice
        The one that is on first, then by price and stock number.
    choices : tuple of tuple of Choice
        For each position one of each size; as it is first, then by size.
    sizes : tuple of ndarray
        For each position and choice its place in `pieces`, -1 for what is there already.
    pieces : tuple of tuple of Choice
        All stock rows of each size.
    price : ndarray
        Of the first, second ... piece of each size; endless where there is none. The last row is for what is
        there already.
    changed : tuple of ndarray
        For each position and choice.
    """

    section: str
    depth: float
    belts: tuple[BeltChoice, ...]
    choices: tuple[tuple[Choice, ...], ...]
    sizes: tuple[Index, ...]
    pieces: tuple[tuple[Choice, ...], ...]
    price: Floats
    changed: tuple[Floats, ...]

    def prices(self, index: list[Index]) -> Floats:
        """Price of the sheaves of many drives, endless where stock has too few pieces."""
        taken: list[Index] = []
        total = np.zeros(len(index[0]))
        for position, sizes in enumerate(self.sizes):
            size = sizes[index[position]]
            before = sum((earlier == size for earlier in taken), np.zeros(len(size), np.int64))
            total = total + self.price[size, before]
            taken.append(size)
        return total

    def parts_changed(self, index: list[Index]) -> Floats:
        """Sheaves that are exchanged in many drives."""
        total: Floats = np.sum([flags[i] for flags, i in zip(self.changed, index, strict=True)], axis=0)
        return total

    def fillings(self, places: tuple[int, ...]) -> list[tuple[Choice, ...]]:
        """Every way to fill one drive's sizes with stock numbers at its lowest price."""
        sizes = [int(self.sizes[position][place]) for position, place in enumerate(places)]
        filled: list[dict[int, Choice]] = [
            {
                position: self.choices[position][places[position]]
                for position, size in enumerate(sizes)
                if size == NOT_FROM_STOCK
            }
        ]
        for size in sorted(set(sizes) - {NOT_FROM_STOCK}):
            positions = [position for position, s in enumerate(sizes) if s == size]
            ways = _cheapest(
                self.pieces[size], len(positions), float(self.price[size, : len(positions)].sum())
            )
            filled = [f | dict(zip(positions, way, strict=True)) for f in filled for way in ways]
        return [tuple(f[position] for position in range(len(sizes))) for f in filled]


def kinds(problem: Problem) -> Iterator[Kind]:
    """Each kind of belt for which every position has something to run it on."""

    def kind(item: BeltChoice) -> tuple[str, float]:
        return groove_of(item.belt.section), round(item.belt.depth, 9)

    for (section, depth), group in groupby(sorted(problem.belts, key=kind), key=kind):
        belts = sorted(group, key=lambda b: (b.changed, b.price, b.rank))
        rows = [[c for c in position.choices if c.section in ("", section)] for position in problem.positions]
        if all(rows):
            yield _kind(section, depth, tuple(belts), rows)


def _kind(section: str, depth: float, belts: tuple[BeltChoice, ...], rows: list[list[Choice]]) -> Kind:
    fits = _where_each_fits(rows)

    def size(choice: Choice) -> Size:
        return round(choice.outside, 7), round(choice.offset, 7), choice.cast, fits.get(choice.number, ())

    stock = {c.number: c for row in rows for c in row if c.changed}
    by_size = sorted(stock.values(), key=lambda c: (size(c), c.price, c.rank))
    pieces = {key: tuple(group) for key, group in groupby(by_size, key=size)}
    place = {key: i for i, key in enumerate(pieces)}
    choices = tuple(
        (
            *(c for c in row if not c.changed),
            *(pieces[key][0] for key in sorted({size(c) for c in row if c.changed})),
        )
        for row in rows
    )
    sizes = tuple(
        np.array([place[size(c)] if c.changed else NOT_FROM_STOCK for c in row], np.int64) for row in choices
    )
    price = np.full((len(pieces) + 1, len(rows)), np.inf)
    for i, group in enumerate(pieces.values()):
        single = _priced(group)[: len(rows)]
        price[i, : len(single)] = single
    price[NOT_FROM_STOCK] = 0.0
    changed = tuple(np.array([float(c.changed) for c in row]) for row in choices)
    return Kind(section, depth, belts, choices, sizes, tuple(pieces.values()), price, changed)


def _where_each_fits(rows: list[list[Choice]]) -> dict[str, tuple[int, ...]]:
    """For each stock number the positions it may sit at: only pieces with the same ones can stand in for each other."""
    fits: dict[str, tuple[int, ...]] = {}
    for position, row in enumerate(rows):
        for choice in row:
            if choice.changed:
                fits[choice.number] = (*fits.get(choice.number, ()), position)
    return fits


def _cheapest(pieces: tuple[Choice, ...], positions: int, price: float) -> list[tuple[Choice, ...]]:
    """Ways to fill some positions with pieces of one size for the least money, no number beyond its count."""
    dearest = max(c for c in _priced(pieces)[:positions])
    near = [c for c in pieces if c.price <= dearest]
    return [
        way
        for way in product(near, repeat=positions)
        if math.isclose(sum(c.price for c in way), price, abs_tol=1e-9)
        and all(sum(c.number == w.number for w in way) <= c.count for c in way)
    ]


def _priced(pieces: tuple[Choice, ...]) -> list[float]:
    return [c.price for c in pieces for _ in range(c.count)]
