"""What speed do stroboscope readings stand for, and which image would have fooled the reader?

Flash rates are given as flashes a second. A part with `symmetry` alike features shows one still image
not only at its own rate but at each whole multiple of it up to the symmetry.
"""

import numpy as np

from snath.quantities.errors import InputError, within
from snath.quantities.measured import Measured, combine
from snath.quantities.message import Message


def speed_from_two_images(*, higher, lower):
    """Speed from two successive flash rates that each show a single still image, N = A B / (A - B) [1]_.

    Both rates are the speed over neighbouring whole numbers, N/k and N/(k+1).

    Parameters
    ----------
    higher, lower : array_like
        The two rates, A and B, over 0 up to 10000; nothing single between them. [1/s]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [rev/s]

    Raises
    ------
    InputError
        If a rate is outside the range or the first is not the higher.

    References
    ----------
    .. [1] A stroboscope's user manual, p. 16 (read).
    """
    return speed_from_images(first=higher, last=lower, count=2)


def speed_from_images(*, first, last, count):
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


def error_gain(*, first, last, count):
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
    """
    speed_from_images(first=first, last=last, count=count)
    high, low = np.asarray(first, dtype=float), np.asarray(last, dtype=float)
    gain = np.hypot(high, low) / (high - low)
    return float(gain) if gain.ndim == 0 else gain


def measured_from_images(*, first: Measured, last: Measured, count: int) -> Measured:
    """The same speed with the budgets of both rates; what they share stays shared.

    Parameters
    ----------
    first, last : Measured
        Highest and lowest rate. [1/s]
    count : int
        Images counted. [1]

    Returns
    -------
    Measured
        [rev/s]

    Raises
    ------
    InputError
        As `speed_from_images`.
    """
    speed = speed_from_images(first=first.value, last=last.value, count=count)
    apart = first.value - last.value
    by_first = -speed * last.value / (first.value * apart)
    by_last = speed * first.value / (last.value * apart)
    return combine(speed, [(first, by_first), (last, by_last)])


def apparent_motion(*, rotation, flash_rate):
    """Speed at which a part near a single image seems to creep, forwards positive [1]_.

    Parameters
    ----------
    rotation : array_like
        Shaft speed, 0 to 1000. [rev/s]
    flash_rate : array_like
        Over 0 up to 10000. [1/s]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [rev/s]

    Raises
    ------
    InputError
        If an element is outside its range.

    References
    ----------
    .. [1] Object rate less flash rate: two stroboscope manuals (read).
    """
    n = within("rotation", rotation, 0, 1000, "rev/s")
    f = within("flash_rate", flash_rate, 0, 10_000, "flashes/s", open_low=True)
    return n - f


def images_seen(*, rotation, flash_rate, symmetry=1):
    """Still images of one feature seen in a turn, where the flash stops the part at all.

    With flash rate over speed = p/q in lowest terms a single mark is seen at p places; a part with
    `symmetry` alike features shows the least common multiple of p and `symmetry`, over `symmetry`.

    Parameters
    ----------
    rotation : float
        Shaft speed, over 0 up to 1000. [rev/s]
    flash_rate : float
        Over 0 up to 10000. [1/s]
    symmetry : int
        Alike features round the part, 1 to 100. [1]

    Returns
    -------
    int or None
        None where no small whole ratio (parts up to 24) fits to 1e-9: the part is seen to turn. [1]

    Raises
    ------
    InputError
        If a number is outside its range.
    """
    n = within("rotation", rotation, 0, 1000, "rev/s", open_low=True)
    f = within("flash_rate", flash_rate, 0, 10_000, "flashes/s", open_low=True)
    alike = int(within("symmetry", symmetry, 1, 100))
    for turns in range(1, 25):
        places = f / n * turns
        if abs(places - round(places)) < 1e-9 * max(places, 1) and 1 <= round(places) <= 24:
            return int(np.lcm(round(places), alike) // alike)
    return None


def fooling_rates(*, rotation, symmetry):
    """Flash rates over the true speed that show one crisp image all the same.

    Parameters
    ----------
    rotation : float
        Shaft speed, over 0 up to 1000. [rev/s]
    symmetry : int
        Alike features round the part, such as 2 for an unmarked two-tip blade; 1 to 100. [1]

    Returns
    -------
    tuple of float
        Multiples by the divisors of the symmetry, rising; empty for a part with one mark. [1/s]

    Raises
    ------
    InputError
        If a number is outside its range.
    """
    n = within("rotation", rotation, 0, 1000, "rev/s", open_low=True)
    alike = int(within("symmetry", symmetry, 1, 100))
    return tuple(n * k for k in range(2, alike + 1) if alike % k == 0)
