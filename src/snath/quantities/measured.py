"""Carry a value with its uncertainty, one budget line per cause, so that shared causes stay shared.

First-order propagation after the GUM (JCGM 100:2008, clauses 5.1 and 5.2; from memory): the lines of
one result that name the same source are fully correlated and add with their signs; different sources
are independent and add in squares.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from snath.quantities.message import Message

Distribution = Literal["normal", "rectangular", "triangular"]
NOISE = 1e-12  # two shares of one cause that take each other out but for rounding leave no line of the budget


@dataclass(frozen=True, slots=True)
class Line:
    """One line of an uncertainty budget.

    Attributes
    ----------
    source : Message or str
        The cause. The same in two values means one shared cause.
    u : float
        Standard uncertainty it brings, signed by its sensitivity. [unit of the value]
    dof : float or None
        Degrees of freedom; None where the figure is taken as known.
    distribution : str
        normal, rectangular or triangular; the shape behind `u`, not its size.
    """

    source: Message | str
    u: float
    dof: float | None = None
    distribution: Distribution = "normal"


@dataclass(frozen=True, slots=True)
class Measured:
    """A value in SI with its budget; without lines it is taken as exact."""

    value: float
    lines: tuple[Line, ...] = ()

    @property
    def u(self) -> float:
        """Combined standard uncertainty. [unit of the value]"""
        return math.sqrt(sum(line.u**2 for line in self.lines))

    @property
    def dof(self) -> float:
        """Effective degrees of freedom, Welch-Satterthwaite (JCGM 100 G.4.1, from memory)."""
        shares = sum(line.u**4 / line.dof for line in self.lines if line.dof is not None)
        return self.u**4 / shares if shares > 0 else math.inf

    @property
    def distribution(self) -> Distribution:
        """Shape of the line that brings over half the variance, else normal (central limit)."""
        variance = self.u**2
        for line in self.lines:
            if line.u**2 > variance / 2:
                return line.distribution
        return "normal"


def exact(value: float) -> Measured:
    """A value that is counted or defined, not measured."""
    return Measured(value)


def combine(value: float, terms: Iterable[tuple[Measured, float]]) -> Measured:
    """A function's value with the budget its inputs give it.

    Parameters
    ----------
    value : float
        The function at the inputs' values.
    terms : iterable of (Measured, float)
        Each input with its sensitivity, the partial derivative there.

    Returns
    -------
    Measured
        One line per source; shared sources have been added with their signs.
    """
    gathered: dict[Message | str, Line] = {}
    for measured, sensitivity in terms:
        for line in measured.lines:
            u = line.u * sensitivity
            known = gathered.get(line.source)
            if known is not None:
                u = 0.0 if math.isclose(u, -known.u, rel_tol=NOISE) else u + known.u
            gathered[line.source] = Line(line.source, u, line.dof, line.distribution)
    return Measured(value, tuple(line for line in gathered.values() if line.u != 0))


def scaled(measured: Measured, factor: float) -> Measured:
    """The value times an exact factor."""
    return combine(measured.value * factor, [(measured, factor)])


def product(first: Measured, second: Measured) -> Measured:
    """Two values multiplied."""
    return combine(first.value * second.value, [(first, second.value), (second, first.value)])


def quotient(above: Measured, below: Measured) -> Measured:
    """One value divided by another that is not zero."""
    value = above.value / below.value
    return combine(value, [(above, 1 / below.value), (below, -value / below.value)])
