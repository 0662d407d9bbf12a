"""How much the air holds back a thrown object: Reynolds number and drag coefficient.

A smooth sphere is the far end of what a stone can do; broken stone has a coefficient of roughly 0.7 to
1.1 and no sphere formula speaks for it.
"""

from snath.quantities.errors import within

SPHERE_VALID_TO = 1e6  # Reynolds number up to which the sphere correlations may be used


def reynolds_number(*, speed, diameter, air_density, air_viscosity):
    """Reynolds number of an object in air, Re = rho v d / mu.

    Parameters
    ----------
    speed : array_like
        Through the air, v, 0 to 2,000. [m/s]
    diameter : array_like
        Of the object, d, over 0 and up to 1. [m]
    air_density : array_like
        rho, over 0 and up to 2. [kg/m^3]
    air_viscosity : array_like
        Dynamic, mu, over 0 and up to 0.001. [Pa s]

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
    .. [1] Definition; from memory: any text on fluid mechanics.
    """
    v = within("speed", speed, 0, 2000, "m/s")
    d = within("diameter", diameter, 0, 1, "m", open_low=True)
    density = within("air_density", air_density, 0, 2, "kg/m^3", open_low=True)
    viscosity = within("air_viscosity", air_viscosity, 0, 1e-3, "Pa s", open_low=True)
    return density * v * d / viscosity


def sphere_drag(*, reynolds):
    """Drag coefficient of a smooth sphere, from creeping flow through the drag crisis.

    C = 24/R + 2.6 (R/5) / (1 + (R/5)^1.52) + 0.411 (R/263000)^-7.94 / (1 + (R/263000)^-8)
    + 0.25 (R/10^6) / (1 + R/10^6), R the Reynolds number.

    Parameters
    ----------
    reynolds : array_like
        R, 0.1 to 5,000,000. [1]

    Returns
    -------
    ndarray or float
        Same shape as `reynolds`. [1]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.

    Notes
    -----
    Empirical. Misses the standard drag curve by up to about 10 %; not to be used above R = 10^6
    (`SPHERE_VALID_TO`), where it and its earlier form part company. Values up there exist only so
    that the parting can be shown.

    References
    ----------
    .. [1] F. A. Morrison, correlation for the drag coefficient of a sphere, notes of 2010 and 2016,
       form of 2013 (read: the notes, equation rebuilt from run-together text).
    """
    r = within("reynolds", reynolds, 0.1, 5e6)
    return _below_crisis(r) + 0.25 * (r / 1e6) / (1 + r / 1e6)


def sphere_drag_2010(*, reynolds):
    """The same correlation as first published: its last term is R^0.80 / 461,000.

    Parameters
    ----------
    reynolds : array_like
        R, 0.1 to 5,000,000. [1]

    Returns
    -------
    ndarray or float
        Same shape as `reynolds`. [1]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.

    Notes
    -----
    Kept to show how far two editions differ above R = 10^6; `sphere_drag` is the one to use.

    References
    ----------
    .. [1] F. A. Morrison, note of 2010 (read).
    """
    r = within("reynolds", reynolds, 0.1, 5e6)
    return _below_crisis(r) + r**0.80 / 461_000


def slow_sphere_drag(*, reynolds):
    """Drag coefficient of a sphere in slow flow, 24/R (1 + 0.15 R^0.687).

    Parameters
    ----------
    reynolds : array_like
        R, 0.1 to 800; a thrown ball is at some 40,000 and is refused. [1]

    Returns
    -------
    ndarray or float
        Same shape as `reynolds`. [1]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.

    Notes
    -----
    A second road for `sphere_drag` at low Reynolds numbers. Beyond its range it is far too low.

    References
    ----------
    .. [1] Schiller and Naumann; from memory: any text on multiphase flow.
    """
    r = within("reynolds", reynolds, 0.1, 800)
    return 24 / r * (1 + 0.15 * r**0.687)


def _below_crisis(r):
    """The three terms both editions share; the third written so that no power overflows."""
    x, y = r / 5, r / 263_000
    return 24 / r + 2.6 * x / (1 + x**1.52) + 0.411 * y**0.06 / (1 + y**8)
