"""Give tip speeds, tip circles, and the rotation at which a tip circle reaches a surface speed."""

import math
from typing import Any

from snath.quantities.errors import InputError, within
from snath.quantities.message import Message

ROTATION_MOST = 500  # rev/s; catches rpm typed as rev/s
DIAMETER_MOST = 5  # m; catches inches typed as metres
SPEED_MOST = 500  # m/s
BENT = 0.125 * 0.0254  # m; tips further apart than 1/8 in mean a bent or off-centre blade (trade)


def tip_speed(*, rotation: Any, diameter: Any) -> Any:
    """Speed of the outermost point of a turning blade, wheel or drum, v = pi n D.

    Parameters
    ----------
    rotation : array_like
        Its shaft, n, 0 to 500. [rev/s]
    diameter : array_like
        Tip circle [1]_, D, over 0 and up to 5; broadcasts with `rotation`. [m]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [m/s]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.

    References
    ----------
    .. [1] 16 CFR 1205.3(a)(2), "blade tip circle".
    """
    n = within("rotation", rotation, 0, ROTATION_MOST, "rev/s")
    d = within("diameter", diameter, 0, DIAMETER_MOST, "m", open_low=True)
    return math.pi * n * d


def rotation_at_tip_speed(*, speed: Any, diameter: Any) -> Any:
    """Rotation at which a tip circle reaches a surface speed, n = v / (pi D).

    Parameters
    ----------
    speed : array_like
        Surface speed, v, 0 to 500. [m/s]
    diameter : array_like
        Tip circle, D, over 0 and up to 5; broadcasts with `speed`. [m]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [rev/s]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.

    References
    ----------
    .. [1] 16 CFR 1205.3(a)(2), "blade tip circle".
    """
    v = within("speed", speed, 0, SPEED_MOST, "m/s")
    d = within("diameter", diameter, 0, DIAMETER_MOST, "m", open_low=True)
    return v / (math.pi * d)


def tip_circle_from_bar(*, length: float, width: float) -> float:
    """Tip circle of a straight bar blade with square ends, D = sqrt(L^2 + w^2).

    Parameters
    ----------
    length : float
        Square across, from end to end, L, over 0 and up to 5. [m]
    width : float
        Of the bar at its ends, w, 0 up to its length. [m]

    Returns
    -------
    float
        [m]

    Raises
    ------
    InputError
        If one is not a number inside the range above, or the bar is wider than long.

    Notes
    -----
    The corners of the bar draw the circle, so a tape laid from end to end reads too little. Ends that are
    rounded or clipped draw a smaller circle; this one then errs to the large side. The hole is taken to be
    in the middle of the bar: where it is not, both arms are measured.

    References
    ----------
    .. [1] 16 CFR 1205.3(a)(2), "blade tip circle": the path of the outermost point.
    """
    along = within("length", length, 0, DIAMETER_MOST, "m", open_low=True)
    across = within("width", width, 0, DIAMETER_MOST, "m")
    if across > along:
        raise InputError("width", f"{across:g} m", Message("fault.width-over-length", length=along))
    return abs(complex(along, across))
