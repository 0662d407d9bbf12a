"""Check how evenly a film's frames are spaced, and what else their times allow."""

from typing import Any

import numpy as np

from snath.quantities.errors import within

TICKS = (1 / 90_000, 1 / 1000, 1 / 600, 1 / 100)  # s to which containers and phones round their stamps
ALIKE = 0.003  # share of a frame time by which stamps may differ from even ones and count as even


def evened(t_s: Any) -> Any:
    """The same frames as if their stamps were rounded readings of an even clock.

    Parameters
    ----------
    t_s : ndarray, shape (n,)
        Rising time stamps; frames left out are allowed. [s]

    Returns
    -------
    ndarray, shape (n,)
        The nearest evenly running times. [s]
    """
    step = float(np.median(np.diff(t_s)))
    place = np.concatenate([[0], np.cumsum(np.maximum(np.rint(np.diff(t_s) / step), 1))])
    slope, start = np.polyfit(place, t_s, 1)
    return start + slope * place


def only_rounded(t_s: Any) -> bool:
    """Whether stamps differ from even ones by no more than their own rounding, so that they tell nothing.

    Parameters
    ----------
    t_s : ndarray, shape (n,)
        Rising time stamps. [s]

    Returns
    -------
    bool
        Also True where they are even.
    """
    off = float(np.abs(t_s - evened(t_s)).max())
    since = t_s - t_s[0]
    for tick in TICKS:
        if off <= 0.6 * tick and float(np.abs(since / tick - np.rint(since / tick)).max()) < 1e-3:
            return True
    return off <= ALIKE * float(np.median(np.diff(t_s)))


def frame_rate(t_s: Any) -> float:
    """Frames a second of the even clock. [1/s]

    Parameters
    ----------
    t_s : ndarray, shape (n,)
        Rising time stamps, at least three. [s]

    Returns
    -------
    float
        One over the usual frame time. [1/s]
    """
    even = evened(t_s)
    return 1 / float(np.diff(even).min())


def folds(*, frequency: float, rate: float, low: float, high: float) -> tuple[float, ...]:
    """Frequencies that an even frame rate shows alike.

    Parameters
    ----------
    frequency : float
        One of them. [Hz]
    rate : float
        Frames a second. [1/s]
    low, high : float
        Range. [Hz]

    Returns
    -------
    tuple of float
        All in the range, rising. [Hz]
    """
    apparent = abs((frequency + rate / 2) % rate - rate / 2)
    found = set()
    for multiple in range(int(high / rate) + 2):
        for value in (multiple * rate - apparent, multiple * rate + apparent):
            if low <= value <= high:
                found.add(round(value, 9))
    return tuple(sorted(found))


def capture_times(t_s: Any, *, stamped_rate: float, capture_rate: float) -> Any:
    """True times of a slow-motion film that was stamped to play at another rate.

    Parameters
    ----------
    t_s : ndarray, shape (n,)
        Time stamps of the file. [s]
    stamped_rate, capture_rate : float
        Frames a second by the stamps, and as filmed; 1 to 10000. [1/s]

    Returns
    -------
    ndarray, shape (n,)
        When the frames were taken. [s]

    Raises
    ------
    InputError
        If a rate is outside its range.
    """
    within("stamped_rate", stamped_rate, 1, 10_000, "frames/s")
    within("capture_rate", capture_rate, 1, 10_000, "frames/s")
    return np.asarray(t_s) * stamped_rate / capture_rate


def capture_rate_from_clock(*, stamped_rate: float, film_s: float, clock_s: float) -> float:
    """Rate at which a film was taken, by a clock that is seen in it.

    Parameters
    ----------
    stamped_rate : float
        Frames a second by the stamps, 1 to 10000. [1/s]
    film_s : float
        Time between two frames by the stamps, over 0. [s]
    clock_s : float
        Time between them on the clock in view, over 0. [s]

    Returns
    -------
    float
        Frames a second as filmed. [1/s]

    Raises
    ------
    InputError
        If a number is outside its range.
    """
    within("stamped_rate", stamped_rate, 1, 10_000, "frames/s")
    within("film_s", film_s, 0, 1e6, "s", open_low=True)
    within("clock_s", clock_s, 0, 1e6, "s", open_low=True)
    return stamped_rate * film_s / clock_s
