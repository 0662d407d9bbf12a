"""Give the unbalance a balance quality grade permits, and the table of grades."""

import tomllib
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from snath.quantities.errors import InputError, within
from snath.quantities.message import Message
from snath.quantities.shipped import shipped_text


@dataclass(frozen=True, slots=True)
class Grade:
    """One balance quality grade.

    Attributes
    ----------
    id : str
        "G16".
    velocity : float
        The grade's figure, e_per times omega. [m/s]
    printed, source, edition, standing : str
        Digits as printed, what the table names for it, and how that is known.
    """

    id: str
    velocity: float
    printed: str
    source: str
    edition: str
    standing: str


@cache
def grades() -> tuple[Grade, ...]:
    """The table, coarsest first."""
    text = shipped_text("snath.formulas.balance", "grades.toml")
    rows = tomllib.loads(text)["grade"]
    return tuple(Grade(velocity=float(row["printed"].split()[0]) / 1000, **row) for row in rows)


def grade_named(name: str) -> Grade:
    """The grade of that name.

    Parameters
    ----------
    name : str
        "G16", "g 16" or "16".

    Returns
    -------
    Grade

    Raises
    ------
    InputError
        If the table has no such grade; it names those it has.
    """
    wanted = "G" + "".join(name.upper().split()).lstrip("G").replace(",", ".")
    known = {grade.id: grade for grade in grades()}
    if wanted not in known:
        raise InputError("grade", name, Message("fault.one-of", known=tuple(known)))
    return known[wanted]


def permissible_offset(*, grade_velocity: Any, rotation: Any) -> Any:
    """Offset of the centre of mass a grade permits, e_per = G / omega.

    Parameters
    ----------
    grade_velocity : array_like
        The grade's figure, G, over 0 and up to 4 (G16 is 0.016). [m/s]
    rotation : array_like
        Highest service speed, over 0 and up to 500. [rev/s]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [m]

    Raises
    ------
    InputError
        If an element is not a number inside the ranges above.

    References
    ----------
    .. [1] ISO 21940-11, definition of the grades (read: public copies of it and of ISO 1940-1).
    """
    g = within("grade_velocity", grade_velocity, 0, 4, "m/s", open_low=True)
    return g / (2 * np.pi * within("rotation", rotation, 0, 500, "rev/s", open_low=True))


def permissible_unbalance(*, grade_velocity: Any, rotation: Any, mass: Any) -> Any:
    """Residual unbalance a grade permits, U_per = m G / omega; 9549 m G / n in g mm, kg, mm/s and rpm.

    Parameters
    ----------
    grade_velocity : array_like
        The grade's figure, G, over 0 and up to 4 (G16 is 0.016). [m/s]
    rotation : array_like
        Highest service speed, over 0 and up to 500. [rev/s]
    mass : array_like
        Of the rotor, m, over 0 and up to 1,000. [kg]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [kg m]

    Raises
    ------
    InputError
        If an element is not a number inside the ranges above.

    References
    ----------
    .. [1] ISO 21940-11 (read: public copies of it and of ISO 1940-1).
    """
    m = within("mass", mass, 0, 1000, "kg", open_low=True)
    return m * permissible_offset(grade_velocity=grade_velocity, rotation=rotation)


def grade_reached(*, unbalance: Any, mass: Any, rotation: Any) -> Any:
    """The figure a residual unbalance stands for, G = U omega / m.

    Parameters
    ----------
    unbalance : array_like
        U, 0 to 10. [kg m]
    mass : array_like
        Of the rotor, m, over 0 and up to 1,000. [kg]
    rotation : array_like
        Highest service speed, 0 to 500. [rev/s]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [m/s]

    Raises
    ------
    InputError
        If an element is not a number inside the ranges above.

    Notes
    -----
    It is not the vibration of a housing, only a measure of the rotor.

    References
    ----------
    .. [1] ISO 21940-11 (read: public copies of it and of ISO 1940-1).
    """
    u = within("unbalance", unbalance, 0, 10, "kg m")
    m = within("mass", mass, 0, 1000, "kg", open_low=True)
    return u * 2 * np.pi * within("rotation", rotation, 0, 500, "rev/s") / m
