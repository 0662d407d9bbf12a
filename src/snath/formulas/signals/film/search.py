"""Search the paths a repetition rate may have run along, given brightness at these times."""

from typing import Any

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from scipy.fft import fft, next_fast_len, rfft
from scipy.ndimage import maximum_filter1d

WINDOW = 0.5  # s in which an engine counts as steady
FRAMES = 30  # least frames of a window: fewer are explained by any rate
STRAY = 0.04  # score lost for a change of 1 Hz from window to window, growing with its square
STEP = 0.1  # Hz between the rates tried
HARMONICS = 4
LEAST = 20  # frames of any window
FASTEST = 0.7  # share of its rate by which it may change in a second
MOST_PATHS = 5
CHIRPS = (0.0, 0.1, 0.25)  # Hz/s of an even drift, up and down
SENSES = (0.0, 0.1, -0.1, 0.25, -0.25)  # the same, as their scores come
GOOD = 0.75  # least score of a path, as a share of the best


def likely_paths(t_s: Any, series: Any, *, low: float, high: float) -> Any:
    """The best path through every good place of the middle window, best first.

    Parameters
    ----------
    t_s : ndarray, shape (n,)
        Times of the frames. [s]
    series : ndarray, shape (n, k)
        Courses of brightness. [any]
    low, high : float
        Range of the repetition rate. [Hz]

    Returns
    -------
    list of ndarray, shape (n,)
        Repetitions done at each frame by each path, at most `MOST_PATHS`. [1]
    """
    rate = np.arange(low, high + STEP, STEP)
    parts = windows(t_s, max(WINDOW, FRAMES * float(np.median(np.diff(t_s)))))
    middle = np.array([t_s[part].mean() for part in parts])
    score = np.vstack([_harmonic_sum(t_s[part], series[part], rate) for part in parts])
    apart = float(np.diff(middle).mean()) if len(middle) > 1 else WINDOW
    reach = max(int(FASTEST * (low + high) / 2 * apart / STEP), 1)
    half = len(parts) // 2
    before, from_before = _reached(score[: half + 1], reach)
    after, from_after = _reached(score[half:][::-1], reach)
    total = before + after - score[half]
    if not total.max() > 0:
        return []
    # Neighbours share nearly all of their paths: one place stands for all within a resolution.
    peak = np.flatnonzero(
        (total == maximum_filter1d(total, int(2 / WINDOW / STEP))) & (total > GOOD * total.max())
    )
    peak = peak[np.argsort(total[peak])[::-1]][:MOST_PATHS]
    paths = []
    for place in peak:
        back, ahead = _traced(from_before, place), _traced(from_after, place)
        paths.append(phase_of(t_s, middle, rate[np.concatenate([back[::-1], ahead[1:]])]))
    return paths


def straight_paths(t_s: Any, series: Any, *, low: float, high: float) -> Any:
    """The same for an engine that is steady or drifts evenly, over the whole length at once.

    Parameters
    ----------
    t_s : ndarray, shape (n,)
        Times of the frames. [s]
    series : ndarray, shape (n, k)
        Courses of brightness. [any]
    low, high : float
        Range of the repetition rate. [Hz]

    Returns
    -------
    list of ndarray, shape (n,)
        Repetitions done at each frame, at most `MOST_PATHS`. [1]
    """
    length = float(t_s[-1] - t_s[0])
    rate = np.arange(low, high, 0.2 / length)
    centre = t_s - t_s.mean()
    score = np.vstack([_harmonic_sum(centre, series, rate, chirp) for chirp in CHIRPS])
    best = score.max(axis=0)
    peak = np.flatnonzero((best == maximum_filter1d(best, 15)) & (best > GOOD * best.max()))
    peak = peak[np.argsort(best[peak])[::-1]][:MOST_PATHS]
    return [rate[i] * centre + centre**2 / 2 * SENSES[score[:, i].argmax()] for i in peak]


def phase_of(t_s: Any, middle: Any, rate: Any) -> Any:
    """Repetitions done at each time, from rates at some times. [1]"""
    at = np.interp(t_s, middle, rate)
    return np.concatenate([[0.0], np.cumsum((at[1:] + at[:-1]) / 2 * np.diff(t_s))])


def windows(t_s: Any, length: float) -> Any:
    """Slices of about that length, half overlapping, none with fewer than eight frames.

    Parameters
    ----------
    t_s : ndarray, shape (n,)
        Rising times. [s]
    length : float
        Wanted length. [s]

    Returns
    -------
    list of slice
        At least one.
    """
    usual = float(np.median(np.diff(t_s)))
    length = max(length, LEAST * usual)
    starts = t_s[0] + np.arange(max(int(2 * (t_s[-1] - t_s[0]) / length) - 1, 1)) * length / 2
    ends = np.append(starts[:-1] + length, t_s[-1])
    first, last = np.searchsorted(t_s, starts), np.searchsorted(t_s, ends, side="right")
    cut = [slice(int(a), int(b)) for a, b in zip(first, last, strict=True) if b - a >= 8]
    return cut or [slice(0, len(t_s))]


def _harmonic_sum(t_s: Any, series: Any, rate: Any, chirp: Any = 0.0) -> Any:
    """Share of the variance at a rate and its harmonics, the lowest counting most; a row for each sense of drift."""
    centred = (series - series.mean(axis=0)).T
    power = float((centred**2).sum()) or 1.0
    tick = 0.2 / (HARMONICS * rate[-1])
    place = (t_s - t_s[0]) / tick
    # A spectrum four times finer than the length resolves, read at each harmonic of each rate.
    size = next_fast_len(max(4 * (int(place[-1]) + 2), int(1 / (tick * STEP))))
    total = np.zeros((1 + bool(chirp), len(rate)))
    for harmonic in range(1, HARMONICS + 1):
        at = np.rint(harmonic * rate * size * tick).astype(int)
        if harmonic == 1 or chirp:
            bend = np.exp(-1j * np.pi * harmonic * chirp * (t_s - t_s.mean()) ** 2)
            spectrum = _spectrum(centred * bend if chirp else centred, place, size)
        total[0] += spectrum[at] / harmonic**0.5
        if chirp:  # what runs slower and slower is, of real numbers, the mirrored spectrum of the other sense
            total[1] += spectrum[-at] / harmonic**0.5
    return 2 * total / (len(t_s) * power)


def _spectrum(courses: Any, place: Any, size: Any) -> Any:
    """Power of all courses together, their points set between the two nearest ticks."""
    whole = place.astype(int)
    part = place - whole
    line = np.zeros((len(courses), int(place[-1]) + 2), dtype=np.result_type(courses, np.float32))
    for course, row in zip(courses, line, strict=True):
        np.add.at(row, whole, course * (1 - part))
        np.add.at(row, whole + 1, course * part)
    turned, single = (fft, np.complex64) if np.iscomplexobj(line) else (rfft, np.float32)
    found = turned(line.astype(single), size)
    return (found.real**2 + found.imag**2).sum(axis=0, dtype=float)


def _reached(score: Any, reach: Any) -> Any:
    """Best sum of scores with which each place of the last row can be reached, and from where."""
    moves = np.arange(-reach, reach + 1)
    loss = STRAY * (moves * STEP) ** 2
    best, came, places = score[0].copy(), [], np.arange(score.shape[1])
    for row in score[1:]:
        padded = np.pad(best, reach, constant_values=-np.inf)
        from_each = sliding_window_view(padded, 2 * reach + 1) - loss
        move = from_each.argmax(axis=1)
        came.append(places + moves[move])
        best = from_each[places, move] + row
    return best, came


def _traced(came: Any, place: Any) -> Any:
    """Places from the last row back to the first."""
    path = [int(place)]
    for row in reversed(came):
        path.append(int(row[path[-1]]))
    return np.array(path)
