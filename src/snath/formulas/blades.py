"""How fast does the outermost point of a turning part run, and at what rotation does it reach a limit?"""

import numpy as np

from snath.quantities.errors import InputError, within
from snath.quantities.message import Message

ROTATION_MOST = 500  # rev/s; catches rpm typed as rev/s
DIAMETER_MOST = 5  # m; catches inches typed as metres
SPEED_MOST = 500  # m/s
BENT = 0.125 * 0.0254  # m; tips further apart than 1/8 in mean a bent or off-centre blade (trade)


def tip_speed(*, rotation, diameter):
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
    return np.pi * n * d


def rotation_at_tip_speed(*, speed, diameter):
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
    return v / (np.pi * d)


def diameter_at_tip_speed(*, speed, rotation):
    """Largest tip circle that stays at or under a surface speed, D = v / (pi n).

    Parameters
    ----------
    speed : array_like
        Surface speed, v, 0 to 500. [m/s]
    rotation : array_like
        Its shaft, n, over 0 and up to 500; broadcasts with `speed`. [rev/s]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [m]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.

    References
    ----------
    .. [1] 16 CFR 1205.3(a)(2), "blade tip circle".
    """
    v = within("speed", speed, 0, SPEED_MOST, "m/s")
    n = within("rotation", rotation, 0, ROTATION_MOST, "rev/s", open_low=True)
    return v / (np.pi * n)


def tip_circle_from_bar(*, length, width):
    """Tip circle of a straight bar blade with square ends, D = sqrt(L^2 + w^2).

    Parameters
    ----------
    length : array_like
        Square across, from end to end, L, over 0 and up to 5. [m]
    width : array_like
        Of the bar at its ends, w, 0 up to its length; broadcasts with `length`. [m]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [m]

    Raises
    ------
    InputError
        If an element is not a number inside the range above, or a bar is wider than long.

    Notes
    -----
    The corners of the bar draw the circle, so a tape laid from end to end reads too little. Ends that are
    rounded or clipped draw a smaller circle; this one then errs to the large side. The hole is taken to be
    in the middle of the bar: where it is not, use `tip_circle_from_arms`.

    References
    ----------
    .. [1] 16 CFR 1205.3(a)(2), "blade tip circle": the path of the outermost point.
    """
    along = within("length", length, 0, DIAMETER_MOST, "m", open_low=True)
    across = within("width", width, 0, DIAMETER_MOST, "m")
    if np.any(np.asarray(across) > along):
        allowed = Message("fault.width-over-length", length=float(np.min(along)))
        raise InputError("width", f"{np.max(across):g} m", allowed)
    return np.hypot(along, across)


def tip_circle_from_arms(*, first, second):
    """Tip circle from the hole's centre to the farthest point of either end, D = 2 max(r1, r2).

    Parameters
    ----------
    first, second : array_like
        Hole centre to the farthest point at one end and at the other, over 0 and up to 2.5. [m]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [m]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.

    Notes
    -----
    The best entry of all: it needs no assumption about the shape of the ends or the place of the hole.

    References
    ----------
    .. [1] 16 CFR 1205.3(a)(2), "blade tip circle": the path of the outermost point.
    """
    one = within("first", first, 0, DIAMETER_MOST / 2, "m", open_low=True)
    other = within("second", second, 0, DIAMETER_MOST / 2, "m", open_low=True)
    return 2 * np.maximum(one, other)
