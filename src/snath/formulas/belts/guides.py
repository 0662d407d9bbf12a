"""Hold what is known of leading a belt out of its plane: how far off a groove, over how long a run."""

import math

from snath.formulas.belts.sections import Fact, fact, tables


def guiding(what: str) -> Fact:
    """The row on guided belts of that name: its figure and its standing."""
    return next(fact(row) for row in tables()["guiding"] if row["what"] == what)


def least_twisted_span(*, diameter: float, width: float, twist: float) -> Fact:
    """Shortest distance over which a belt should turn about itself, in proportion to a quarter turn.

    Parameters
    ----------
    diameter : float
        Of the larger sheave at its ends. [m]
    width : float
        Over the grooves. [m]
    twist : float
        Of the span. [rad]

    Returns
    -------
    Fact
        The length with the standing of the rule it comes from; that it grows in proportion is our own
        reading of a rule for a quarter turn. [m]
    """
    rule = guiding("span for a quarter turn")
    value = rule.value * (diameter + width) * twist / (math.pi / 2)
    return Fact(value, rule.printed, rule.source, rule.edition, rule.standing)
