"""Fit one repetition rate to the courses of brightness, and follow it."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from snath.formulas.signals.film.search import windows

HARMONICS = 8
FOLLOWED = 0.2  # s over which the phase is followed
STRETCH = 0.6  # s, at least, of which it is told how well it is explained
STRETCHES = (0.8, 0.8, 0.4, 0.4, FOLLOWED, FOLLOWED, FOLLOWED)


@dataclass(frozen=True, slots=True)
class FlickerFit:
    """One rate, followed through the film.

    Attributes
    ----------
    rate : float
        Mean repetition rate. [Hz]
    t_s, phase : ndarray
        Times and the repetitions done. [s], [1]
    missed, flicker : ndarray, shape (n,)
        Sum of the squares of each frame, of what is left over and of all that flickers. [any], [any]
    rank : int
        Free numbers of each course's pattern, those that the frame times cannot tell apart counted once.
    phase_u : float
        Standard uncertainty of the phase of one stretch of `FOLLOWED`. [1]
    width : float
        Share of a repetition for which one spot shows the mark; 0 where none was looked at. [1]
    """

    rate: float
    t_s: np.ndarray
    phase: np.ndarray
    missed: np.ndarray
    flicker: np.ndarray
    rank: int
    phase_u: float
    width: float = 0.0

    @property
    def left(self) -> float:
        """Sum of the squares left over. [any]"""
        return float(self.missed.sum())


def follow(t_s: Any, series: Any, *, phase: Any) -> FlickerFit:
    """Follow a repetition rate from a first guess of its path.

    Parameters
    ----------
    t_s : ndarray, shape (n,)
        Times of the frames. [s]
    series : ndarray, shape (n, k)
        Courses of brightness. [any]
    phase : ndarray, shape (n,)
        First guess of the repetitions done at each frame. [1]

    Returns
    -------
    FlickerFit
        The rate as it ran, and what it leaves unexplained.
    """
    centred = series - series.mean(axis=0)
    usual, least, best = 1.0, np.inf, phase
    for length in STRETCHES:
        parts = windows(t_s, length)
        first, last = (np.array([getattr(part, end) for part in parts]) for end in ("start", "stop"))
        model, slope, _, _ = pattern(phase, centred)
        if (now := float(((centred - model) ** 2).sum())) < least:
            least, best = now, phase
        steep = np.concatenate([[0.0], np.cumsum((slope**2).sum(axis=1))])
        missing = np.concatenate([[0.0], np.cumsum((slope * (centred - model)).sum(axis=1))])
        weight = steep[last] - steep[first]
        shift = (missing[last] - missing[first]) / np.maximum(weight, 1e-12)
        middle = (t_s[first] + t_s[last - 1]) / 2
        phase = phase + np.interp(t_s, middle, np.clip(shift, -0.1, 0.1))
        usual = float(np.median(weight)) or 1.0
    model, _, rank, _ = pattern(phase, centred)
    if least < float(((centred - model) ** 2).sum()):  # a last correction may do harm
        phase = best
        model, _, rank, _ = pattern(phase, centred)
    missed = ((centred - model) ** 2).sum(axis=1)
    noise = missed.sum() / max(centred.size - rank * centred.shape[1], 1)
    rate = float((phase[-1] - phase[0]) / (t_s[-1] - t_s[0]))
    return FlickerFit(
        rate,
        t_s,
        phase,
        missed,
        (centred**2).sum(axis=1),
        rank,
        float(np.sqrt(noise / usual)),
    )


def explained(fit: FlickerFit, *, noise: float) -> float:
    """Share of the flicker that a rate explains, its noise taken off.

    Parameters
    ----------
    fit : FlickerFit
        A rate, followed through the film.
    noise : float
        Sum of squares that noise alone brings into the courses. [any]

    Returns
    -------
    float
        0 to 1. [1]
    """
    total = max(float(fit.flicker.sum()) - noise, 1e-9)
    return float(min(max(1 - (fit.left - noise) / total, 0.0), 1.0))


def least_explained(fit: FlickerFit, *, noise: float) -> float:
    """The same of the stretch in which it is least.

    Parameters
    ----------
    fit : FlickerFit
        A rate, followed through the film.
    noise : float
        Sum of squares that noise alone brings into the courses. [any]

    Returns
    -------
    float
        Up to 1; below 0 where nothing is explained. [1]
    """
    noise = noise / len(fit.t_s)
    shares = []
    for part in windows(fit.t_s, STRETCH):
        left, flicker = (float((each[part] - noise).sum()) for each in (fit.missed, fit.flicker))
        shares.append(1 - left / flicker if flicker > 0 else 0.0)
    return min(shares)


def pattern(phase: Any, series: Any) -> Any:
    """The repeating pattern that fits best, its slope by phase, its rank and its harmonics.

    Where the frames show several harmonics alike, the lower one is taken: marks move smoothly.

    Parameters
    ----------
    phase : ndarray, shape (n,)
        Repetitions done at each frame. [1]
    series : ndarray, shape (n, k)
        Courses of brightness, each about its mean. [any]

    Returns
    -------
    model, slope : ndarray, shape (n, k)
        What the pattern makes of each course, and how steeply it changes with the phase. [any], [any]
    rank : int
        Free numbers of each course's pattern.
    amount : ndarray, shape (2 HARMONICS, k)
        Cosines of the harmonics, then their sines. [any]
    """
    number = np.arange(1, HARMONICS + 1)
    once = np.exp(2j * np.pi * phase)
    turned = np.multiply.accumulate(np.repeat(once[:, None], HARMONICS, axis=1), axis=1)
    order = np.tile(2 * np.pi * number, 2)
    smooth = np.tile(number**-0.5, 2)
    design = np.hstack([turned.real, turned.imag]) * smooth
    size, axes = np.linalg.eigh(design.T @ design)
    told = size > 0.0025 * size[-1]
    rank = int(told.sum())
    amount = axes[:, told] @ ((axes[:, told].T @ (design.T @ series)) / size[told, None])
    swapped = np.hstack([-turned.imag, turned.real]) * (smooth * order)
    return design @ amount, swapped @ amount, rank, amount * smooth[:, None]


def width(phase: Any, spot: Any) -> float:
    """Share of a repetition for which one spot is over half its height, as the mark comes by.

    Parameters
    ----------
    phase : ndarray, shape (n,)
        Repetitions done at each frame. [1]
    spot : ndarray, shape (n,)
        Its brightness. [any]

    Returns
    -------
    float
        0 to 1. [1]
    """
    amount = pattern(phase, (spot - spot.mean())[:, None])[3][:, 0]
    angle = 2 * np.pi * np.outer(np.linspace(0, 1, 200, endpoint=False), np.arange(1, HARMONICS + 1))
    shape = np.hstack([np.cos(angle), np.sin(angle)]) @ amount
    shape = np.abs(shape - np.median(shape))
    return float(np.mean(shape > shape.max() / 2))
