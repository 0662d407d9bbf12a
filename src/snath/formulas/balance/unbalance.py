"""Work out what a missing or extra bit of blade does: unbalance, its force, and what to grind off."""

from typing import Any

import numpy as np

from snath.quantities.errors import within


def unbalance(*, mass: Any, radius: Any) -> Any:
    """Unbalance of a bit missing or extra at a radius, U = m r.

    Parameters
    ----------
    mass : array_like
        Of the bit, m, 0 to 20. [kg]
    radius : array_like
        Where it is, r, 0 to 5. [m]

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
    .. [1] Definition, ISO 21940-11 (from memory).
    """
    return within("mass", mass, 0, 20, "kg") * within("radius", radius, 0, 5, "m")


def unbalance_force(*, unbalance: Any, rotation: Any) -> Any:
    """Force that turns with the shaft, F = U (2 pi n)^2.

    Parameters
    ----------
    unbalance : array_like
        U, 0 to 10. [kg m]
    rotation : array_like
        n, 0 to 500. [rev/s]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [N]

    Raises
    ------
    InputError
        If an element is not a number inside the ranges above.

    Notes
    -----
    Of a stiff rotor on stiff bearings. It grows with the square of speed: 10 % faster, 21 % more.

    References
    ----------
    .. [1] F = m r omega^2; from memory: mechanics.
    """
    omega = 2 * np.pi * within("rotation", rotation, 0, 500, "rev/s")
    return within("unbalance", unbalance, 0, 10, "kg m") * omega**2


def grind_off(*, unbalance: Any, radius: Any) -> Any:
    """Mass to take off the heavy end at a radius, m = U / r.

    Parameters
    ----------
    unbalance : array_like
        To be taken away, U, 0 to 10. [kg m]
    radius : array_like
        Where it is ground, r, over 0 and up to 5. [m]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [kg]

    Raises
    ------
    InputError
        If an element is not a number inside the ranges above.

    References
    ----------
    .. [1] `unbalance` turned round.
    """
    u = within("unbalance", unbalance, 0, 10, "kg m")
    return u / within("radius", radius, 0, 5, "m", open_low=True)


def hole_play_unbalance(*, mass: Any, play: Any) -> Any:
    """Unbalance a perfect blade gets by sitting off-centre in its hole, U = m c / 2.

    Parameters
    ----------
    mass : array_like
        Of the whole blade, m, over 0 and up to 20. [kg]
    play : array_like
        Hole less spindle, c, on diameter, 0 to 0.02. [m]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs; the most, sitting hard to one side. [kg m]

    Raises
    ------
    InputError
        If an element is not a number inside the ranges above.

    Notes
    -----
    A cone centres the blade by its hole, a spindle does not: no cone balancer shows this share.

    References
    ----------
    .. [1] Geometry.
    """
    m = within("mass", mass, 0, 20, "kg", open_low=True)
    return m * within("play", play, 0, 0.02, "m") / 2


def weight_ratio(*, force: Any, mass: Any, gravity: Any) -> Any:
    """A force beside the weight of a body, F / (m g).

    Parameters
    ----------
    force : array_like
        F, 0 to 10,000,000. [N]
    mass : array_like
        m, over 0 and up to 1,000. [kg]
    gravity : array_like
        g, over 0 and up to 30. [m/s^2]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [1]

    Raises
    ------
    InputError
        If an element is not a number inside the ranges above.

    References
    ----------
    .. [1] Mechanics.
    """
    f = within("force", force, 0, 1e7, "N")
    m = within("mass", mass, 0, 1000, "kg", open_low=True)
    return f / (m * within("gravity", gravity, 0, 30, "m/s^2", open_low=True))
