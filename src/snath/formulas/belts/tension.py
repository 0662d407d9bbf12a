"""Give the pulls in a belt, from its load, its own mass and a spring idler, and the load on its shafts."""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from snath.formulas.belts.capacity import ratings
from snath.formulas.belts.grip import FOOT_PER_MINUTE
from snath.formulas.belts.sections import Fact, groove_of
from snath.quantities.constants import POUND_FORCE
from snath.quantities.errors import InputError, within
from snath.quantities.message import Message


def belt_mass(section: str) -> Fact:
    """Mass of one metre of belt by its section, from the printed centrifugal constant. [kg/m]

    Raises
    ------
    InputError
        If no figure is known: weigh the belt.
    """
    for row in ratings()["mass"]:
        if row["section"] == groove_of(section):
            value = float(row["Kc"]) * float(POUND_FORCE) / (1000 * FOOT_PER_MINUTE) ** 2
            return Fact(value, f"Kc = {row['Kc']}", row["source"], row["edition"], row["standing"])
    raise InputError("section", section, Message("belt.no-mass"))


@dataclass(frozen=True, slots=True)
class Tensions:
    """Pulls in a running belt. [N]"""

    tight: float
    slack: float
    centrifugal: float

    @property
    def static(self) -> float:
        """Pull at standstill that gives these when running, (F1 + F2) / 2 - Fc. [N]"""
        return (self.tight + self.slack) / 2 - self.centrifugal


def shaft_load(*, one: Any, other: Any, wrap: Any) -> Any:
    """Pull of the belt on a shaft, sqrt(T1^2 + T2^2 - 2 T1 T2 cos theta).

    Parameters
    ----------
    one, other : array_like
        Pulls in the two runs. [N]
    wrap : array_like
        Angle of contact. [rad]

    Returns
    -------
    ndarray or float
        The sum of both at half a turn. [N]

    References
    ----------
    .. [1] Statics: the two pulls added as vectors, by the law of cosines.
    """
    return np.sqrt(np.square(one) + np.square(other) - 2 * np.asarray(one) * other * np.cos(wrap))


def idler_tension(*, push: Any, wrap: Any) -> Any:
    """Pull in the belt an idler makes, T = F / (2 sin(theta / 2)).

    Parameters
    ----------
    push : array_like
        Of the idler on the belt, along the line that halves its wrap, 0 to 100 000. [N]
    wrap : array_like
        On the idler, over 0 and under 2 pi. [rad]

    Returns
    -------
    ndarray or float
        Same on both its runs. [N]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.

    References
    ----------
    .. [1] Statics: the idler's push is the sum of two equal pulls at its wrap.
    """
    theta = within("wrap", wrap, 0, 2 * math.pi, "rad", open_low=True, open_high=True)
    return within("push", push, 0, 1e5, "N") / (2 * np.sin(theta / 2))


def spring_pull(*, rate: Any, initial: Any, free: Any, length: Any) -> Any:
    """Pull of a tension spring hooked in at a length, F0 + c (l - l0).

    Parameters
    ----------
    rate : array_like
        [N/m]
    initial : array_like
        Pull at which its coils begin to part. [N]
    free : array_like
        Length without load. [m]
    length : array_like
        As hooked in, at least `free`. [m]

    Returns
    -------
    ndarray or float
        [N]

    Raises
    ------
    InputError
        If the spring is hooked in shorter than it is free.

    References
    ----------
    .. [1] Hooke's law beyond the initial tension, which a maker's table gives with the rate.
    """
    if np.any(np.asarray(length) < np.asarray(free)):
        raise InputError(
            "spring length",
            f"{float(np.min(length)) * 1000:g} mm",
            Message("belt.spring-loose"),
        )
    return np.asarray(initial) + np.asarray(rate) * (np.asarray(length) - free)
