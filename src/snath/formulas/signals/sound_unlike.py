"""Detect an engine that turns twice as fast as its lines say, because its firings sound unlike.

Firings heard alike all pass one pipe, so that each line is about as loud as its neighbours: as alike as the pipe is
smooth, which lines at twice the distance show. Where strong and weak cycles alternate, as in a rich two-stroke off
load, every engine makes the lines of half its speed too, and those are weaker at every second place, all by about as
much. Where one of two cylinders is heard weaker, later or through another pipe, lines that alike cylinders would
cancel are loud too, and differ from the others by more than the pipe does (docs/sound.md, equations 13a and 13b).
Levels say half of it, phases the rest: a strong and a weak cycle are one wave twice, while the two halves of a single
cycle have nothing to do with each other, but for what rings on from one into the next (13c and 13d).
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from snath.formulas.signals.ranks import log_mean
from snath.formulas.signals.sound_evidence import OrderSpectrum
from snath.formulas.signals.sound_halves import FREEDOM, SHARES, Halves, log_odds_repeated

CLEAR = 2.0  # level of a line, or of its neighbours, that can be compared [nat]
FEWEST = 4  # comparisons that say anything
SMOOTHER = 0.6  # how far lines differ from neighbours half as far apart, by the pipe alone, as a share
ROUGH = (0.25, 0.8)  # within which that is taken to lie [nat]
ALIKE_LINES = 0.6  # of the lines say something of their own
SYSTEMATIC = 0.3  # by which every second line of alike firings may differ [nat]
MEAN = np.arange(-1.5, 1.51, 0.1)  # differences of every second line of alike firings looked at [nat]
UNLIKE, UNLIKE_WIDTH = -0.5, 1.6  # difference of lines of unlike cylinders: usual, and its width [nat]
ALTERNATING, UNLIKE_BEFORE = -2.0, -2.3  # belief before hearing, beside that in alike firings [nat]
MOST, SURE = 1.5, -12.0  # log odds believed at most, as fans and knocks once a turn do the same; at least
FAR, MOST_FAR = -2.0, 2.5  # mean difference beyond which few fans do, and what is believed then at most [nat]
OPEN = -1.6  # log odds where too few lines are clear, as of fast two-strokes, which alternate more often


def fires_evenly(firings: tuple[float, ...]) -> bool:
    """Whether two or more firings follow each other at even distances, so that lines cancel."""
    return len(firings) > 1 and bool(np.allclose(np.diff(firings), 1 / len(firings), atol=1e-3))


def differences(
    spectrum: OrderSpectrum, lines: NDArray[Any], power: NDArray[Any]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """How far every second line differs from its neighbours, and how far the others differ among themselves.

    Parameters
    ----------
    spectrum : OrderSpectrum
        Levels.
    lines : ndarray
        Places of evenly spaced lines, rising from the first. [cycle line]
    power : ndarray
        Power each is expected to have beside a full line. [1]

    Returns
    -------
    tuple of (ndarray, ndarray)
        Of the first, third, ... line, and of the others; clear ones only. [nat]
    """
    place = np.rint(lines * spectrum.span).astype(int)
    kept = (place > spectrum.span // 3) & (place < len(spectrum.level) - 1)
    level = spectrum.level[place[kept]] - np.log(power[kept])
    odd = np.flatnonzero(kept) % 2 == 0
    return _beside(level)[odd[1:-1] & _clear(level)], _beside(level[~odd])[_clear(level[~odd])]


def _beside(level: NDArray[Any]) -> Any:
    """Each inner level less the mean of its two neighbours."""
    return level[1:-1] - (level[2:] + level[:-2]) / 2


def _clear(level: NDArray[Any]) -> Any:
    """Whether an inner level or the mean beside it stands clear of the noise."""
    return np.maximum(level[1:-1], (level[2:] + level[:-2]) / 2) > CLEAR


def log_odds_double(
    second: NDArray[Any], others: NDArray[Any], halves: Halves | None = None, *, several: bool
) -> float:
    """Belief that firings at twice the speed are not heard alike, beside alike ones at the speed.

    Parameters
    ----------
    second, others : ndarray
        From `differences`. [nat]
    halves : Halves or None
        From `halves_of`; a strong and a weak cycle that differ by so much are as alike as they are told apart by it.
    several : bool
        Whether two or more cylinders fire evenly, and so may be heard unlike.

    Returns
    -------
    float
        Log of the odds. [nat]
    """
    heard = np.zeros(len(SHARES)) if halves is None else log_odds_repeated(halves)
    if len(second) < FEWEST:
        return OPEN + log_mean(heard)
    rough = SMOOTHER * float(np.sqrt(np.mean(others**2))) if len(others) >= FEWEST else 0.5
    rough = float(np.clip(rough, *ROUGH))

    def levels(differing: NDArray[Any]) -> Any:
        return ALIKE_LINES * _student(second - differing[:, None], rough).sum(axis=1)

    before = -0.5 * (MEAN / SYSTEMATIC) ** 2
    alike = log_mean(levels(MEAN), before)
    odds = ALTERNATING + log_mean(levels(2 * np.log(SHARES)) + heard) - alike
    if several:
        unlike = ALIKE_LINES * _student(second - UNLIKE, UNLIKE_WIDTH).sum() - alike
        odds = np.logaddexp(odds, UNLIKE_BEFORE + unlike)
    return float(odds)


def _student(off: NDArray[Any], width: float) -> Any:
    """Log density of Student's t, up to a constant."""
    return -(FREEDOM + 1) / 2 * np.log1p((off / width) ** 2 / FREEDOM) - np.log(width)


def believed(odds: float, second: NDArray[Any]) -> float:
    """Log odds as far as they are believed: a fan or a knock once a turn makes lines weak at every second place, too.

    Parameters
    ----------
    odds : float
        By all that was heard. [nat]
    second : ndarray
        Differences of every second line. [nat]

    Returns
    -------
    float
        No less than `SURE`, no more than `MOST`, or `MOST_FAR` where no fan makes so large a difference. [nat]
    """
    return float(np.clip(odds, SURE, MOST_FAR if len(second) >= FEWEST and second.mean() < FAR else MOST))
