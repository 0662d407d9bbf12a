"""Give length, wraps and spans of an open belt on two sheaves.

A V-belt is never run crossed, so there is no crossed form here. Diameters are those of one and the same
line in the belt: datum circles for a datum length, outside diameters for an outside length.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from snath.quantities.errors import InputError, within
from snath.quantities.message import Amount, Message

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
                Message("belt.sheaves-touch", further=Amount(-float(spare.min()), "length")),
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

    References
    ----------
    .. [1] Shigley's Mechanical Engineering Design, Eq. (17-1).
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

    References
    ----------
    .. [1] By geometry: the triangle of centres and difference of radii; its double is the root in Eq. (17-2) of [2]_.
    .. [2] Shigley's Mechanical Engineering Design, ch. 17.
    """
    half = (np.asarray(pair.driver, float) - pair.driven) / 2
    return _plain(np.sqrt(np.asarray(pair.centres) ** 2 - half**2))


def _plain(value: Any) -> Any:
    return float(value) if np.ndim(value) == 0 else value
