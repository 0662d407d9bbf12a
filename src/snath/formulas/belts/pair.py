"""Two sheaves and an open belt: how long is it, how far does it wrap, what speed does it give?

A V-belt is never run crossed, so there is no crossed form here. Diameters are those of one and the same
line in the belt: datum circles for a datum length, outside diameters for an outside length.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.optimize import brentq

from snath.quantities.errors import InputError, within

LARGEST = 5.0  # m; no sheave of a shop's machine is larger, and inches typed as metres are


@dataclass(frozen=True, slots=True)
class SheavePair:
    """Driver, driven and the distance between their shafts, as floats or arrays that broadcast. [m]

    Attributes
    ----------
    driver, driven : array_like
        Diameters, over 0 and at most 5. [m]
    centres : array_like
        Distance between the shafts, over half the sum of the diameters. [m]
    """

    driver: Any
    driven: Any
    centres: Any

    def __post_init__(self) -> None:
        driver = within("driver", self.driver, 0, LARGEST, "m", open_low=True)
        driven = within("driven", self.driven, 0, LARGEST, "m", open_low=True)
        centres = within("centres", self.centres, 0, 20 * LARGEST, "m", open_low=True)
        spare = np.asarray(centres - (driver + driven) / 2)
        if not np.all(spare > 0):
            raise InputError(
                "centres",
                f"{float(np.min(centres)):g} m",
                f"the sheaves touch: set them at least {-float(spare.min()) * 1000:.1f} mm further apart",
            )


def belt_length(pair: SheavePair) -> Any:
    """Length of the belt line round both sheaves, exact.

    L = sqrt(4 C^2 - (D - d)^2) + (D theta_D + d theta_d) / 2.

    Parameters
    ----------
    pair : SheavePair
        The drive. [m]

    Returns
    -------
    ndarray or float
        Along the line the diameters belong to. [m]

    References
    ----------
    .. [1] Shigley's Mechanical Engineering Design, Eqs. (17-1) and (17-2).
    """
    driver_wrap, driven_wrap = wraps(pair)
    return 2 * span(pair) + (pair.driver * driver_wrap + pair.driven * driven_wrap) / 2


def wraps(pair: SheavePair) -> tuple[Any, Any]:
    """Angle the belt lies on the driver and on the driven sheave, pi -+ 2 asin((D - d) / 2C).

    Parameters
    ----------
    pair : SheavePair
        The drive. [m]

    Returns
    -------
    tuple of ndarray or float
        Driver's, then driven's; they add up to one turn. [rad]
    """
    lean = 2 * np.arcsin((np.asarray(pair.driver, float) - pair.driven) / (2 * np.asarray(pair.centres)))
    return _plain(np.pi + lean), _plain(np.pi - lean)


def span(pair: SheavePair) -> Any:
    """Free length of belt between the two sheaves, sqrt(C^2 - ((D - d) / 2)^2).

    Parameters
    ----------
    pair : SheavePair
        The drive. [m]

    Returns
    -------
    ndarray or float
        One of the two equal spans. [m]
    """
    half = (np.asarray(pair.driver, float) - pair.driven) / 2
    return _plain(np.sqrt(np.asarray(pair.centres) ** 2 - half**2))


def centres_for(*, driver: float, driven: float, length: float) -> float:
    """Distance between the shafts at which a belt of this length is straight and just tight, exact.

    Parameters
    ----------
    driver, driven : float
        Diameters on the line of `length`. [m]
    length : float
        Belt length, longer than the belt round two touching sheaves. [m]

    Returns
    -------
    float
        Never so small that the sheaves touch. [m]

    Raises
    ------
    InputError
        If the belt is too short for two sheaves of these sizes.
    """
    nearest = (driver + driven) / 2 * (1 + 1e-9)
    shortest = belt_length(SheavePair(driver=driver, driven=driven, centres=nearest))
    if not length > shortest:
        raise InputError(
            "belt length",
            f"{length:g} m",
            f"too short: these two sheaves touch with a belt of {shortest:g} m; "
            f"take one at least {(shortest - length) * 1000:.0f} mm longer, or smaller sheaves",
        )

    def missing(centres: float) -> float:
        return float(belt_length(SheavePair(driver=driver, driven=driven, centres=centres))) - length

    return float(brentq(missing, nearest, max(length / 2, 2 * nearest), xtol=1e-13))


def series_length(pair: SheavePair) -> Any:
    """Belt length by the series of the handbooks, 2 C + pi (D + d) / 2 + (D - d)^2 / 4C.

    Notes
    -----
    Short of the exact length by about (D - d)^4 / 192 C^3; for comparison with printed examples only.

    Parameters
    ----------
    pair : SheavePair
        The drive. [m]

    Returns
    -------
    ndarray or float
        A little short. [m]
    """
    total, apart = np.asarray(pair.driver, float) + pair.driven, np.asarray(pair.driver, float) - pair.driven
    return _plain(2 * pair.centres + np.pi / 2 * total + apart**2 / (4 * np.asarray(pair.centres)))


def series_centres(*, driver: float, driven: float, length: float) -> float:
    """Distance between shafts that gives `length` by the series of the handbooks.

    Parameters
    ----------
    driver, driven : float
        Diameters. [m]
    length : float
        Belt length. [m]

    Returns
    -------
    float
        C = (B + sqrt(B^2 - 2 (D - d)^2)) / 4 with B = L - pi (D + d) / 2. [m]

    Raises
    ------
    InputError
        If the belt is too short for sheaves of these sizes.
    """
    rest = length - np.pi / 2 * (driver + driven)
    root = rest**2 - 2 * (driver - driven) ** 2
    if not (rest > 0 and root >= 0):
        raise InputError("belt length", f"{length:g} m", "too short for sheaves of these sizes")
    return float((rest + np.sqrt(root)) / 4)


def driven_rotation(*, rotation: Any, driver: Any, driven: Any, thickness: Any = 0.0, slip: Any = 0.0) -> Any:
    """Speed of the driven shaft, n (d1 + t) / (d2 + t) (1 - s).

    Parameters
    ----------
    rotation : array_like
        Driver shaft, n, 0 to 500. [rev/s]
    driver, driven : array_like
        Diameters the belt lies on. [m]
    thickness : array_like
        Of a flat belt, whose middle runs half of it outside the rim; 0 where the diameters are those of
        the belt line already. [m]
    slip : array_like
        Share of speed lost, 0 to under 1. It never counts towards passing a limit. [1]

    Returns
    -------
    ndarray or float
        Broadcast shape. [rev/s]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.
    """
    n = within("rotation", rotation, 0, 500, "rev/s")
    d1 = within("driver", driver, 0, LARGEST, "m", open_low=True)
    d2 = within("driven", driven, 0, LARGEST, "m", open_low=True)
    t = within("thickness", thickness, 0, 0.1, "m")
    s = within("slip", slip, 0, 1, open_high=True)
    return n * (d1 + t) / (d2 + t) * (1 - s)


def rim_speed(*, rotation: Any, diameter: Any) -> Any:
    """Speed of a sheave's rim or of a belt line, v = pi n D.

    Parameters
    ----------
    rotation : array_like
        Shaft, 0 to 500. [rev/s]
    diameter : array_like
        Outside for the rim, pitch for the belt. [m]

    Returns
    -------
    ndarray or float
        Broadcast shape. [m/s]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.
    """
    n = within("rotation", rotation, 0, 500, "rev/s")
    return np.pi * n * within("diameter", diameter, 0, LARGEST, "m", open_low=True)


def _plain(value: Any) -> Any:
    return float(value) if np.ndim(value) == 0 else value
