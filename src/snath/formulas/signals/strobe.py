"""Give the speed that stroboscope readings stand for, and how errors of the rates reach it.

Flash rates are given as flashes a second. A part with `symmetry` alike features shows one still image
not only at its own rate but at each whole multiple of it up to the symmetry.
"""

from typing import Any

import numpy as np

from snath.quantities.errors import InputError, within
from snath.quantities.message import Message


def speed_from_images(*, first: Any, last: Any, count: Any) -> Any:
    """Speed from several successive single images, N = (m - 1) f1 fm / (f1 - fm) [1]_.

    Parameters
    ----------
    first, last : array_like
        Highest and lowest of the rates, over 0 up to 10000. [1/s]
    count : array_like
        How many images were counted from the first to the last, both included; 2 to 100. [1]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [rev/s]

    Raises
    ------
    InputError
        If a number is outside its range or the first rate is not the higher.

    References
    ----------
    .. [1] Handbook of stroboscopy (1977), section 3.4 (from memory).
    """
    high = np.asarray(within("first", first, 0, 10_000, "flashes/s", open_low=True))
    low = np.asarray(within("last", last, 0, 10_000, "flashes/s", open_low=True))
    images = np.asarray(within("count", count, 2, 100))
    if not (high > low).all():
        raise InputError("first", f"{float(np.max(high)):g} flashes/s", Message("reading.over-last-rate"))
    speed = (images - 1) * high * low / (high - low)
    return float(speed) if speed.ndim == 0 else speed


def error_gain(*, first: Any, last: Any, count: Any) -> Any:
    """How many times larger the speed's relative error is than that of one rate, the rates' errors independent.

    From N's derivatives: (f1^2 + fm^2)^(1/2) / (f1 - fm) for equal relative errors of both rates.

    Parameters
    ----------
    first, last : array_like
        Highest and lowest rate, over 0 up to 10000. [1/s]
    count : array_like
        Images counted, 2 to 100; the gain does not depend on it, but the rates do. [1]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast rates. [1]

    Raises
    ------
    InputError
        As `speed_from_images`.

    References
    ----------
    .. [1] The law of propagation, JCGM 100:2008, 5.1.2 (from memory), on the formula of `speed_from_images`.
    """
    speed_from_images(first=first, last=last, count=count)
    high, low = np.asarray(first, dtype=float), np.asarray(last, dtype=float)
    gain = np.hypot(high, low) / (high - low)
    return float(gain) if gain.ndim == 0 else gain
