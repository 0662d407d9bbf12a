"""Check how evenly a film's frames are spaced, and what else their times allow."""

from functools import reduce
from typing import Any

import numpy as np
from scipy.ndimage import uniform_filter1d

from snath.quantities.errors import within

SAME, LEAST_TICK = 1e-7, 1e-6  # s by which stamps are no whole multiples of a tick, and the least that counts
MOST_TICK = 0.7  # of a frame time: what is wider is a rhythm of frames left out
AROUND = 0.2  # s about a frame over which phases are followed: slower changes of the rate tell nothing
SURELY = 2.0  # standard uncertainties of the true unevenness
FOLD_OFF = 0.5  # of a frame rate: half way to the next fold
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
    return off <= max(0.6 * tick(t_s), ALIKE * float(np.median(np.diff(t_s))))


def tick(t_s: Any) -> float:
    """What the stamps are whole multiples of, as containers and phones round them.

    Parameters
    ----------
    t_s : ndarray, shape (n,)
        Rising time stamps. [s]

    Returns
    -------
    float
        The widest such time; 0 where there is none, or it is about a frame time. [s]
    """
    steps = np.diff(t_s)
    shared = float(reduce(_shared, steps))
    return shared if LEAST_TICK < shared < MOST_TICK * float(np.median(steps)) else 0.0


def _shared(one: float, other: float) -> float:
    """Widest time of which both are whole multiples (Euclid), to `SAME`. [s]"""
    while other > SAME:
        left = one % other
        one, other = other, 0.0 if other - left < SAME else left
    return one


def likely_times(t_s: Any, *, folds: float) -> Any:
    """When the frames were likeliest taken, as far as rounded stamps tell it.

    How much a film's picture moves with the unevenness of its stamps tells which fold of the frame rate a speed lies
    in. Of rounded stamps a part of that unevenness is rounding, with which no picture moves, so that every speed seems
    to lie in too low a fold. So each stamp is taken back towards the even clock by the share that rounding has in the
    square of the unevenness (regression with errors in the variable; from memory: Fuller, Measurement Error Models,
    1987). Where that share is known too badly to tell neighbouring folds apart, the stamps tell nothing.

    Parameters
    ----------
    t_s : ndarray, shape (n,)
        Rising time stamps. [s]
    folds : float
        How often the frame rate goes into the fastest repetition looked for. [1]

    Returns
    -------
    ndarray, shape (n,)
        The stamps themselves where they are not rounded, those of an even clock where they tell nothing else. [s]
    """
    even = evened(t_s)
    size = 2 * round(AROUND / 2 / float(np.median(np.diff(t_s)))) + 1
    uneven = t_s - even
    quick = uneven - uniform_filter1d(uneven, size, mode="nearest")
    rounding = tick(t_s) ** 2 / 12 * (1 - 1 / size)
    total = float(np.mean(quick**2))
    if total <= rounding:
        return even
    share = rounding / total
    doubt = share * (2 / len(t_s)) ** 0.5 / (1 - share)
    return even if SURELY * doubt * folds > FOLD_OFF else t_s - share * quick


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
