"""Give a thrown object's energy, its energy per area, and the speed at which it penetrates skin."""

from typing import Any

import numpy as np

from snath.formulas.throwing.body import frontal_area
from snath.quantities.errors import within


def kinetic_energy(*, mass: Any, speed: Any) -> Any:
    """Energy of motion, E = m v^2 / 2.

    Parameters
    ----------
    mass : array_like
        m, over 0 and up to 20. [kg]
    speed : array_like
        v, 0 to 2,000. [m/s]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [J]

    Raises
    ------
    InputError
        If an element is not a number inside the ranges above.

    References
    ----------
    .. [1] Mechanics.
    """
    m = within("mass", mass, 0, 20, "kg", open_low=True)
    return m * within("speed", speed, 0, 2000, "m/s") ** 2 / 2


def energy_density(*, mass: Any, speed: Any, diameter: Any) -> Any:
    """Energy of motion on each unit of frontal area, E / (pi d^2 / 4).

    Parameters
    ----------
    mass : array_like
        Over 0 and up to 20. [kg]
    speed : array_like
        0 to 2,000. [m/s]
    diameter : array_like
        d, over 0 and up to 1. [m]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [J/m^2]

    Raises
    ------
    InputError
        If an element is not a number inside the ranges above.

    References
    ----------
    .. [1] Definition used with penetration tests.
    """
    return kinetic_energy(mass=mass, speed=speed) / frontal_area(diameter=diameter)


def drop_height(*, energy: Any, mass: Any, gravity: Any) -> Any:
    """Height from which a mass falls, air left out, to have an energy: h = E / (m g).

    Parameters
    ----------
    energy : array_like
        E, 0 to 1,000,000. [J]
    mass : array_like
        m, over 0 and up to 1,000. [kg]
    gravity : array_like
        g, over 0 and up to 30. [m/s^2]

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
    .. [1] Mechanics.
    """
    m = within("mass", mass, 0, 1000, "kg", open_low=True)
    g = within("gravity", gravity, 0, 30, "m/s^2", open_low=True)
    return within("energy", energy, 0, 1e6, "J") / (m * g)


def skin_penetration_speed(*, sectional_density: Any) -> Any:
    """Speed at which half of the balls went through skin, V50 = 184.6 SD^-0.385.

    Parameters
    ----------
    sectional_density : array_like
        Mass on frontal area, SD, 3 to 50 (0.3 to 5 g/cm^2, where the balls were). [kg/m^2]

    Returns
    -------
    ndarray or float
        Same shape as `sectional_density`. [m/s]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.

    Notes
    -----
    Empirical: round balls of steel, ceramic and plastic, 1.6 to 9.5 mm, against pig's legs, 600 shots.
    The equation takes SD in g/cm^2; its unit of speed is not named in the abstract and is read as m/s.
    Eyes give way far earlier.

    References
    ----------
    .. [1] LeSueur and others, "Penetration Thresholds of Porcine Limbs for Low Sectional Density
       Projectiles in High-Rate Impact", Military Medicine 189, supplement 3, 2024 (read: abstract).
    """
    grams_per_cm2 = within("sectional_density", sectional_density, 3, 50, "kg/m^2") / 10
    return 184.6 * np.power(grams_per_cm2, -0.385)
