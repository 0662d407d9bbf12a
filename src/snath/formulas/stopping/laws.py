"""Give the speed of a blade that runs down under dry friction, oil drag and windage, and the time behind it.

Deceleration is a + b n + c n^2: a of the brake and dry friction, b of oil and belts, c of the air. Counted
back from standstill the speed has one closed form for every mix of the three.
"""

from typing import Any

import numpy as np

from snath.quantities.errors import within

SMALL = 1e-6


def speed_before_stop(*, time_left: Any, dry: Any, viscous: Any, windage: Any) -> Any:
    """Speed so long before standstill, n = a S / (C - b S / 2).

    With h^2 = b^2 / 4 - a c, S = sinh(h s) / h and C = cosh(h s); sine and cosine where h^2 is negative.

    Parameters
    ----------
    time_left : array_like
        Until standstill, s, 0 to 10,000; at 0 the speed is 0. [s]
    dry : array_like
        a, 0 to 10,000. [rev/s^2]
    viscous : array_like
        b, 0 to 1,000. [1/s]
    windage : array_like
        c, 0 to 1,000. [1/rev]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs; infinite where no finite speed takes that long to stop. [rev/s]

    Raises
    ------
    InputError
        If an element is not a number inside the ranges above.

    References
    ----------
    .. [1] Riccati equation dn/ds = a + b n + c n^2 with n(0) = 0; docs/stopping.md.
    """
    s = within("time_left", time_left, 0, 1e4, "s")
    a = within("dry", dry, 0, 1e4, "rev/s^2")
    b = within("viscous", viscous, 0, 1e3, "1/s")
    c = within("windage", windage, 0, 1e3, "1/rev")
    return rundown(s, a, b, c)


def rundown(s: Any, a: Any, b: Any, c: Any) -> Any:
    """`speed_before_stop` without its checks, for fitting."""
    square = (b * b / 4 - a * c) * s * s
    root = np.sqrt(np.abs(square))
    # e^-root is taken out of both, so that a long run-down does not overflow; sine and cosine have none
    grows = square >= 0
    falling = np.exp(-2 * np.where(grows, root, 0.0))
    cosine = np.where(grows, (1 + falling) / 2, np.cos(root))
    flat = root < SMALL
    sine = np.where(grows, (1 - falling) / 2, np.sin(root)) / np.where(flat, 1.0, root)
    sine = s * np.where(flat, 1 - root, sine)
    bottom = cosine - b * sine / 2
    alive = bottom > 0
    alive &= grows | (root < np.pi)
    speed = np.where(alive, a * sine / np.where(alive, bottom, 1.0), np.inf)
    return float(speed) if speed.ndim == 0 else speed


def stop_time(*, speed: Any, dry: Any, viscous: Any, windage: Any) -> Any:
    """Time from a speed to standstill, the integral of dn / (a + b n + c n^2).

    Parameters
    ----------
    speed : array_like
        n, 0 to 500. [rev/s]
    dry : array_like
        a, over 0 and up to 10,000: without it nothing ever stands still. [rev/s^2]
    viscous : array_like
        b, 0 to 1,000. [1/s]
    windage : array_like
        c, 0 to 1,000. [1/rev]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [s]

    Raises
    ------
    InputError
        If an element is not a number inside the ranges above.

    References
    ----------
    .. [1] `speed_before_stop` turned round; docs/stopping.md.
    """
    n = within("speed", speed, 0, 500, "rev/s")
    a = within("dry", dry, 0, 1e4, "rev/s^2", open_low=True)
    b = within("viscous", viscous, 0, 1e3, "1/s")
    c = within("windage", windage, 0, 1e3, "1/rev")
    square = np.asarray(b * b / 4 - a * c, dtype=float)
    root = np.sqrt(np.abs(square))
    # tanh(h s) = h n / (a + b n / 2), with tan for negative h^2
    ratio = n / (a + b * n / 2)
    x = root * ratio
    flat = x < SMALL
    over = np.where(flat, 1.0, root)
    inside = np.where((square >= 0) & ~flat, np.minimum(x, 1 - 1e-16), 0.0)
    time = np.where(square >= 0, np.arctanh(inside), np.arctan(x)) / over
    time = np.where(flat, ratio, time)
    return float(time) if time.ndim == 0 else time
