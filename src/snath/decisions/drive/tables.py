"""Work out the geometry of every pair of neighbouring sheaves at once, so that a drive is a few look-ups.

A run between two pulleys depends on these two alone, and a wrap on two runs. With the runs of all pairs in
tables, length and wraps of a million drives are sums of looked-up figures.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from snath.decisions.drive.positions import Choice, Position
from snath.decisions.drive.problem import Problem
from snath.formulas.belts.contact import line_radius
from snath.formulas.belts.grooves import belt_height

Floats = NDArray[np.float64]
Index = NDArray[np.int64]
TURN = 2 * np.pi
ROUNDING = 1e-9  # rad; a bound must not fall below what it bounds


@dataclass(frozen=True, slots=True)
class Runs:
    """Runs from one position to the next at one end of the travel: length and direction of each pair. [m], [rad]"""

    length: Floats
    direction: Floats


@dataclass(frozen=True, slots=True)
class Tables:
    """Tables of one problem for one line in the belt.

    Attributes
    ----------
    order : tuple of int
        Places in `Problem.positions`, counter-clockwise as drawn.
    choices : tuple of tuple of Choice
        For each position of the problem.
    radius : tuple of ndarray
        Of the belt's line, for each position and choice. [m]
    runs : tuple of (Runs, ...)
        For the slack and the tight end, in `order`.
    clear : dict
        For each pair of positions, which choices stand clear of each other at both ends.
    """

    order: tuple[int, ...]
    choices: tuple[tuple[Choice, ...], ...]
    radius: tuple[Floats, ...]
    back: tuple[bool, ...]
    runs: tuple[tuple[Runs, ...], ...]
    clear: dict[tuple[int, int], NDArray[np.bool_]]


def tables_for(
    problem: Problem, choices: tuple[tuple[Choice, ...], ...], *, depth: float, section: str
) -> Tables:
    """All tables for a belt of a section whose length is that of a line at `depth` below its top."""
    positions = problem.positions
    n = len(positions)
    order = (0, *range(n - 1, 0, -1)) if problem.clockwise else tuple(range(n))
    radius = tuple(
        _radii(position, row, depth, section) for position, row in zip(positions, choices, strict=True)
    )
    rim = tuple(np.array([c.outside / 2 for c in row]) for row in choices)
    back = tuple(position.contact == "flat back" for position in positions)
    signed = [-r if b else r for r, b in zip(radius, back, strict=True)]
    runs = []
    clear: dict[tuple[int, int], NDArray[np.bool_]] = {}
    for end in (0.0, 1.0):
        at = [problem.place(position, end) for position in positions]
        runs.append(tuple(_runs(at[i], at[j], signed[i], signed[j]) for i, j in _neighbours(order)))
        for i in range(n):
            for j in range(i + 1, n):
                apart = np.hypot(at[j][0] - at[i][0], at[j][1] - at[i][1])
                rims = rim[i][:, None] + rim[j] + problem.clearance
                steps = np.abs(signed[j] - signed[i][:, None])
                stands = (apart > rims) & (apart > steps)
                clear[i, j] = stands & clear[i, j] if (i, j) in clear else stands
    return Tables(order, choices, radius, back, tuple(runs), clear)


def lengths_and_wraps(tables: Tables, index: list[Index]) -> tuple[list[Floats], list[list[Floats]], Any]:
    """Length and wraps of many drives at both ends, and which of them come round exactly once.

    Parameters
    ----------
    tables : Tables
        Of the problem.
    index : list of ndarray
        For each position, which choice each drive takes.

    Returns
    -------
    lengths : list of ndarray
        At the slack and the tight end. [m]
    wraps : list of list of ndarray
        The same for each position of the problem. [rad]
    round_once : ndarray of bool
    """
    lengths, all_wraps = [], []
    round_once = np.ones(len(index[0]), bool)
    pairs = _neighbours(tables.order)
    for runs in tables.runs:
        taken = [(index[i], index[j]) for i, j in pairs]
        direction = [run.direction[at] for run, at in zip(runs, taken, strict=True)]
        total = sum((run.length[at] for run, at in zip(runs, taken, strict=True)), np.zeros(len(index[0])))
        turned = np.zeros(len(index[0]))
        wraps: list[Floats] = [np.zeros(0)] * len(index)
        for place, position in enumerate(tables.order):
            step = direction[place] - direction[place - 1]
            wrap = (-step if tables.back[position] else step) % TURN
            wraps[position] = wrap
            turned += -wrap if tables.back[position] else wrap
            total = total + tables.radius[position][index[position]] * wrap
        round_once &= np.abs(turned - TURN) < 1e-6
        lengths.append(total)
        all_wraps.append(wraps)
    return lengths, all_wraps, round_once


def most_driver_wrap(tables: Tables) -> Floats:
    """The most the belt can wrap each of the engine's choices, whatever sits beside it. [rad]"""
    most = np.full(len(tables.choices[0]), TURN)
    for runs in tables.runs:
        leaves, arrives = runs[0].direction % TURN, runs[-1].direction.T % TURN
        here = [_most_turn(row, column) for row, column in zip(leaves, arrives, strict=True)]
        most = np.minimum(most, np.array(here) + ROUNDING)
    return most


def _most_turn(leaves: Floats, arrives: Floats) -> float:
    """Largest turn from any arrival to any leaving: that from the arrival next after the leaving, all the way round.

    Sorting spares the square of the stock, which for one pair would be its cube.
    """
    ordered = np.sort(arrives)
    after = ordered[np.searchsorted(ordered, leaves, side="right") % len(ordered)]
    return float(((leaves - after) % TURN).max())


def _neighbours(order: tuple[int, ...]) -> list[tuple[int, int]]:
    return list(zip(order, (*order[1:], order[0]), strict=True))


def _radii(position: Position, choices: tuple[Choice, ...], depth: float, section: str) -> Floats:
    height = belt_height(section).value if position.contact == "flat inside" else None
    return np.array(
        [
            line_radius(contact=position.contact, outside=c.outside, depth=depth, ride=c.ride, height=height)
            for c in choices
        ]
    )


def _runs(a: tuple[float, float], b: tuple[float, float], one: Floats, other: Floats) -> Runs:
    dx, dy = b[0] - a[0], b[1] - a[1]
    apart = np.hypot(dx, dy)
    step = other - one[:, None]
    share = np.clip(step / apart, -1, 1)  # pairs that do not clear each other are thrown out by `clear`
    length = apart * np.sqrt(1 - share**2)
    return Runs(length, np.arctan2(dy, dx) - np.arcsin(share))
