"""Thrown objects where paper and pencil are enough: the closed forms the integrator is held against."""

import numpy as np

from snath.quantities.errors import within


def drag_length(*, mass, area, drag_coefficient, air_density):
    """Way over which drag alone takes speed down to 1/e, L = 2 m / (rho C A).

    Parameters
    ----------
    mass : array_like
        m, over 0 and up to 20. [kg]
    area : array_like
        Frontal, A, over 0 and up to 1. [m^2]
    drag_coefficient : array_like
        C, over 0 and up to 3. [1]
    air_density : array_like
        rho, over 0 and up to 2. [kg/m^3]

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
    .. [1] Mechanics: m dv/dt = -rho C A v^2 / 2.
    """
    m = within("mass", mass, 0, 20, "kg", open_low=True)
    a = within("area", area, 0, 1, "m^2", open_low=True)
    c = within("drag_coefficient", drag_coefficient, 0, 3, open_low=True)
    rho = within("air_density", air_density, 0, 2, "kg/m^3", open_low=True)
    return 2 * m / (rho * c * a)


def flat_speed(*, speed, distance, drag_length):
    """Speed left after a level way, gravity left out, v = v0 exp(-x / L).

    Parameters
    ----------
    speed : array_like
        At the start, v0, 0 to 2,000. [m/s]
    distance : array_like
        Way made, x, 0 to 10,000. [m]
    drag_length : array_like
        L, over 0 and up to 1,000,000. [m]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [m/s]

    Raises
    ------
    InputError
        If an element is not a number inside the ranges above.

    References
    ----------
    .. [1] Flat-fire solution for constant drag coefficient.
    """
    v = within("speed", speed, 0, 2000, "m/s")
    x = within("distance", distance, 0, 10_000, "m")
    return v * np.exp(-x / within("drag_length", drag_length, 0, 1e6, "m", open_low=True))


def straight_up(*, speed, drag_length, gravity):
    """Height of a throw straight up against v^2 drag, H = (L / 2) ln(1 + v0^2 / (g L)).

    Parameters
    ----------
    speed : array_like
        At the start, v0, 0 to 2,000. [m/s]
    drag_length : array_like
        L, over 0 and up to 1,000,000. [m]
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
    .. [1] Integral of v dv / (g + v^2 / L).
    """
    v = within("speed", speed, 0, 2000, "m/s")
    length = within("drag_length", drag_length, 0, 1e6, "m", open_low=True)
    g = within("gravity", gravity, 0, 30, "m/s^2", open_low=True)
    return length / 2 * np.log1p(v**2 / (g * length))


def drag_free_range(*, speed, elevation, gravity):
    """Range over level ground without air, R = v^2 sin(2 a) / g.

    Parameters
    ----------
    speed : array_like
        v, 0 to 2,000. [m/s]
    elevation : array_like
        Angle above level, a, 0 to pi/2. [rad]
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
    v = within("speed", speed, 0, 2000, "m/s")
    a = within("elevation", elevation, 0, np.pi / 2, "rad")
    return v**2 * np.sin(2 * a) / within("gravity", gravity, 0, 30, "m/s^2", open_low=True)
