"""Give the ranges of speed and angle at which a struck object may leave a deck."""

from typing import Any

import numpy as np

from snath.quantities.errors import InputError, within
from snath.quantities.message import Message


def launch_speed(*, tip_speed: Any, restitution: Any) -> Any:
    """Speed of a light thing at rest after a square blow, v = (1 + e) v_tip.

    Parameters
    ----------
    tip_speed : array_like
        Of the blade at the point of the blow, 0 to 500. [m/s]
    restitution : array_like
        Bounce of blade on object, e, 0 (none) to 1 (perfect). [1]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs; the fastest it can leave. [m/s]

    Raises
    ------
    InputError
        If an element is not a number inside the ranges above.

    Notes
    -----
    Holds for an object far lighter than the blade, at rest, struck squarely. Anything else leaves
    slower, down to nothing: the range is 0 to this. "Nothing can leave faster than the tip" is false.

    References
    ----------
    .. [1] Central impact; from memory: any text on mechanics.
    """
    v = within("tip_speed", tip_speed, 0, 500, "m/s")
    return (1 + within("restitution", restitution, 0, 1)) * v


def opening_elevations(*, struck_height: Any, edge_distance: Any, edge_low: Any, edge_high: Any) -> Any:
    """Lowest and highest angle above level at which a straight path clears a deck opening.

    Parameters
    ----------
    struck_height : array_like
        Of the point of the blow above ground, 0 to 2. [m]
    edge_distance : array_like
        From there level to the opening's plane, over 0 and up to 3. [m]
    edge_low, edge_high : array_like
        Lower and upper edge of the opening above ground, 0 to 3. [m]

    Returns
    -------
    tuple of (ndarray or float, ndarray or float)
        Lowest and highest elevation, -pi/2 to pi/2; not above the second. [rad]

    Raises
    ------
    InputError
        If an element is not a number inside the ranges above, or the upper edge is below the lower.

    Notes
    -----
    Straight paths only. An object that has struck the deck, the ground or a wheel first can leave at
    any angle the opening lets through and some it does not seem to.

    References
    ----------
    .. [1] Geometry.
    """
    height = within("struck_height", struck_height, 0, 2, "m")
    away = within("edge_distance", edge_distance, 0, 3, "m", open_low=True)
    low = within("edge_low", edge_low, 0, 3, "m")
    high = within("edge_high", edge_high, 0, 3, "m")
    if np.any(np.asarray(high) < np.asarray(low)):
        raise InputError(
            "edge_high", f"{np.min(high):g} m", Message("throw.edge-low", low=float(np.max(low)))
        )
    return np.arctan2(low - height, away), np.arctan2(high - height, away)
