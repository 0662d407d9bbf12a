"""Describe a thrown object: its mass, its size, and the area it presents to air and skin."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from snath.quantities.errors import within


@dataclass(frozen=True, slots=True)
class Body:
    """A thing that may be thrown; every value may be an array, they broadcast.

    Attributes
    ----------
    mass : array_like
        Over 0 and up to 20. [kg]
    diameter : array_like
        Of the sphere of the same volume, over 0 and up to 1. [m]
    drag_coefficient : array_like or None
        On the area of that sphere, 0 to 3; None takes it as a smooth sphere whose drag follows its
        speed. [1]
    """

    mass: object
    diameter: object
    drag_coefficient: object = None


def sphere_diameter(*, mass: Any, density: Any) -> Any:
    """Diameter of the solid sphere of that mass, d = (6 m / (pi density))^(1/3).

    Parameters
    ----------
    mass : array_like
        m, over 0 and up to 20. [kg]
    density : array_like
        Over 0 and up to 25,000. [kg/m^3]

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
    .. [1] Geometry, `sphere_mass` turned round.
    """
    m = within("mass", mass, 0, 20, "kg", open_low=True)
    rho = within("density", density, 0, 25_000, "kg/m^3", open_low=True)
    return np.cbrt(6 * m / (np.pi * rho))


def frontal_area(*, diameter: Any) -> Any:
    """Area a sphere shows to the air, A = pi d^2 / 4.

    Parameters
    ----------
    diameter : array_like
        d, over 0 and up to 1. [m]

    Returns
    -------
    ndarray or float
        Same shape as `diameter`. [m^2]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.

    References
    ----------
    .. [1] Geometry.
    """
    d = within("diameter", diameter, 0, 1, "m", open_low=True)
    return np.pi * d**2 / 4


def sectional_density(*, mass: Any, diameter: Any) -> Any:
    """Mass behind each unit of frontal area, m / (pi d^2 / 4).

    Parameters
    ----------
    mass : array_like
        m, over 0 and up to 20. [kg]
    diameter : array_like
        d, over 0 and up to 1. [m]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [kg/m^2]

    Raises
    ------
    InputError
        If an element is not a number inside the ranges above.

    References
    ----------
    .. [1] Definition used with penetration tests.
    """
    return within("mass", mass, 0, 20, "kg", open_low=True) / frontal_area(diameter=diameter)
