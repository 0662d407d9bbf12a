"""Give the air's drag on a thrown object: Reynolds number and drag coefficient.

A smooth sphere is the far end of what a stone can do; broken stone has a coefficient of roughly 0.7 to
1.1 and no sphere formula speaks for it.
"""

from typing import Any

from snath.quantities.errors import within

SPHERE_VALID_TO = 1e6  # Reynolds number up to which the sphere correlations may be used


def sphere_drag(*, reynolds: Any) -> Any:
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


def _below_crisis(r: Any) -> Any:
    """The three terms both editions share; the third written so that no power overflows."""
    x, y = r / 5, r / 263_000
    return 24 / r + 2.6 * x / (1 + x**1.52) + 0.411 * y**0.06 / (1 + y**8)
