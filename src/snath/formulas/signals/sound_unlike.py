"""Weigh whether an engine turns twice as fast as its lines say, because its firings are not heard alike.

Firings heard alike all pass one pipe, so that each line is about as loud as its neighbours: as alike as the pipe is
smooth, which lines at twice the distance show. Where strong and weak cycles alternate, as in a rich two-stroke off
load, every engine makes the lines of half its speed too, and those are weaker at every second place, all by about as
much. Where one of two cylinders is heard weaker, later or through another pipe, lines that alike cylinders would
cancel are loud too, and differ from the others by more than the pipe does (docs/sound.md, equations 13a and 13b).
Levels say half of it, phases the rest: a strong and a weak cycle are one wave twice, while the two halves of a single
cycle have nothing to do with each other, but for what rings on from one into the next (13c and 13d).
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.fft import irfft, rfft
from scipy.ndimage import uniform_filter1d
from scipy.special import logsumexp

from snath.formulas.signals.sound_evidence import NEIGHBOURS, OrderSpectrum

CLEAR = 2.0  # level of a line, or of its neighbours, that can be compared [nat]
FEWEST = 4  # comparisons that say anything
SMOOTHER = 0.6  # how far lines differ from neighbours half as far apart, by the pipe alone, as a share
ROUGH = (0.25, 0.8)  # within which that is taken to lie [nat]
FREEDOM = 3.0  # of Student's t: now and then a line differs by more
T_NORM = 2.72  # its density at 0, inverted
ALIKE_LINES = 0.6  # of the lines say something of their own
SYSTEMATIC = 0.3  # by which every second line of alike firings may differ [nat]
MEAN = np.arange(-1.5, 1.51, 0.1)  # differences of every second line of alike firings looked at [nat]
SHARES = np.arange(
    0.02, 0.86, 0.04
)  # by which strong and weak cycles may differ to either side and both be heard [1]
UNLIKE, UNLIKE_WIDTH = -0.5, 1.6  # difference of lines of unlike cylinders: usual, and its width [nat]
ALTERNATING, UNLIKE_BEFORE = -2.0, -2.3  # belief before hearing, beside that in alike firings [nat]
MOST, SURE = 1.5, -12.0  # log odds believed at most, as fans and knocks once a turn do the same; at least
FAR, MOST_FAR = -2.0, 2.5  # mean difference beyond which few fans do, and what is believed then at most [nat]
OPEN = -1.6  # log odds where too few lines are clear, as of fast two-strokes, which alternate more often
PERIODS = (1, 2, 3, 4)  # cycles in which a spacing of lines may come out even
PARTS, FEWEST_PARTS, FEWEST_LINES = (
    8,
    3,
    4,
)  # of a stretch from which a wave and its noise are told; lines of a wave
FINE = 4  # points of a wave for each of its lines in half of it
LEAST_LEFT = 0.02  # share of a wave's power that a half is taken to have at least
MOST_NOISE = 3.0  # beside the weaker half's power, from which more makes no difference
HEARD = 0.2  # share of its lines' power that is no noise, under which a wave has no shape
REPEATED_WIDTH = (0.1, 0.5)  # spread of the likeness of halves that are one wave twice, without and by noise
APART, APART_WIDTH = 0.07, (0.25, 0.4)  # likeness of the halves of a single cycle: usual, and the same
CHANCE, CHANCE_DENSITY = (0.1, 0.07), 0.25  # share of either that is anything, and its density


class Halves(NamedTuple):
    """The two halves of a wave, laid where they differ most in strength.

    Attributes
    ----------
    alike : float
        Their likeness, 1 where one is the other weaker. [1]
    weaker : float
        Amplitude of the weaker beside the stronger one. [1]
    drowned : float
        Power of the noise beside the weaker half's. [1]
    """

    alike: float
    weaker: float
    drowned: float


def fires_evenly(firings: tuple[float, ...]) -> bool:
    """Whether two or more firings follow each other at even distances, so that lines cancel."""
    return len(firings) > 1 and bool(np.allclose(np.diff(firings), 1 / len(firings), atol=1e-3))


def differences(spectrum: OrderSpectrum, lines, power) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
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


def _beside(level):
    """Each inner level less the mean of its two neighbours."""
    return level[1:-1] - (level[2:] + level[:-2]) / 2


def _clear(level):
    """Whether an inner level or the mean beside it stands clear of the noise."""
    return np.maximum(level[1:-1], (level[2:] + level[:-2]) / 2) > CLEAR


def log_odds_double(second, others, halves: Halves | None = None, *, several: bool) -> float:
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
        return float(OPEN + _mean_of(heard))
    rough = SMOOTHER * float(np.sqrt(np.mean(others**2))) if len(others) >= FEWEST else 0.5
    rough = float(np.clip(rough, *ROUGH))

    def levels(differing):
        return ALIKE_LINES * _student(second - differing[:, None], rough).sum(axis=1)

    before = -0.5 * (MEAN / SYSTEMATIC) ** 2
    alike = logsumexp(levels(MEAN) + before) - logsumexp(before)
    odds = ALTERNATING + _mean_of(levels(2 * np.log(SHARES)) + heard) - alike
    if several:
        unlike = ALIKE_LINES * _student(second - UNLIKE, UNLIKE_WIDTH).sum() - alike
        odds = np.logaddexp(odds, UNLIKE_BEFORE + unlike)
    return float(odds)


def _mean_of(logs):
    """Log of the mean of what the logs are of."""
    return logsumexp(logs) - np.log(len(logs))


def _student(off, width):
    """Log density of Student's t, up to a constant."""
    return -(FREEDOM + 1) / 2 * np.log1p((off / width) ** 2 / FREEDOM) - np.log(width)


def believed(odds, second) -> float:
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


def log_odds_repeated(halves: Halves) -> NDArray[np.float64]:
    """What the likeness of the halves says for a strong and a weak cycle of each of `SHARES`, beside a single cycle.

    What rings on from one cycle into the next makes them less alike: as loud as the weaker half shows it may be.

    Parameters
    ----------
    halves : Halves
        The halves of the wave.

    Returns
    -------
    ndarray, shape (shares,)
        ln of the likelihood ratio. [nat]
    """
    weak = (1 - SHARES) / (1 + SHARES)
    rings = np.clip((halves.weaker**2 - weak**2) / (1 - (weak * halves.weaker) ** 2), 0.0, None)
    both = np.sqrt((1 + weak**2 * rings) * (rings + weak**2))
    usual, stray = weak * (1 + rings) / both, np.sqrt(rings) * (1 + weak**2) / both
    noise = min(halves.drowned, MOST_NOISE)
    width = np.hypot(REPEATED_WIDTH[0] + REPEATED_WIDTH[1] * noise, APART_WIDTH[0] * stray)
    single = _likely(halves.alike - APART, APART_WIDTH[0] + APART_WIDTH[1] * noise, CHANCE[1])
    return np.asarray(_likely(halves.alike - usual, width, CHANCE[0]) - single)


def halves_of(cycles, spacing, top) -> Halves | None:
    """The halves of the wave between lines at `spacing`, which is made as short as it can be.

    All lines are made about as loud as their neighbours; the halves are laid where they differ most in strength.

    Parameters
    ----------
    cycles : ndarray, shape (cycles, points)
        Unrolled sound. [any]
    spacing : float
        Distance of the lines of the longer cycle. [cycle line]
    top : float
        Highest line to judge by. [cycle line]

    Returns
    -------
    Halves or None
        None where nothing can be told.
    """
    wave = _wave(cycles, spacing, top)
    if wave is None:
        return None
    whitened, noise = wave
    half = len(whitened) // 2
    power = whitened**2
    total = np.concatenate([[0.0], np.cumsum(np.concatenate([power, power[:half]]))])
    strong = total[half:][: half + 1] - total[: half + 1]
    at = int(np.abs(2 * strong - total[2 * half]).argmax())
    halves = np.array([strong[at], total[2 * half] - strong[at]]) - noise * total[2 * half] / 2
    halves = np.maximum(halves, LEAST_LEFT * total[2 * half])
    return Halves(
        float((whitened[:half] * whitened[half:]).sum() / np.sqrt(halves.prod())),
        float(np.sqrt(halves.min() / halves.max())),
        float(noise * total[2 * half] / 2 / halves.min()),
    )


def _likely(off, width, chance):
    """ln of the density of a likeness that is as usual, or by some chance anything. [nat]"""
    usual = np.log1p((off / width) ** 2 / FREEDOM) * -(FREEDOM + 1) / 2 - np.log(width * T_NORM)
    return np.logaddexp(np.log(1 - chance) + usual, np.log(chance * CHANCE_DENSITY))


def _wave(cycles, spacing, top):
    """The wave between lines at `spacing`, all of them about as loud, and the share of its power that is noise."""
    period = next((n for n in PERIODS if abs(n * spacing - round(n * spacing)) < 0.03 * n * spacing), None)
    if period is None:
        return None
    parts = min(PARTS, len(cycles) // (2 * period))
    step = round(period * spacing)
    count = min(int(top * period / step), (period * cycles.shape[1] // 2 - 1) // step)
    if parts < FEWEST_PARTS or count < FEWEST_LINES:
        return None
    each = len(cycles) // (parts * period)
    folded = cycles[: parts * each * period].reshape(parts, each, -1).mean(axis=1)
    lines = rfft(folded, axis=1)[:, step : count * step + 1 : step]
    mean = lines.mean(axis=0)
    doubt = (np.abs(lines - mean) ** 2).sum(axis=0) / (parts * (parts - 1))
    near = uniform_filter1d(np.maximum(np.abs(mean) ** 2 - doubt, 0), NEIGHBOURS, mode="mirror")
    usual = near + uniform_filter1d(doubt, NEIGHBOURS, mode="mirror") + 1e-30
    noise = float((doubt / usual).sum() / max((np.abs(mean) ** 2 / usual).sum(), 1e-30))
    if noise > 1 - HEARD or not near.any():
        return None
    full = np.zeros(FINE * count + 1, dtype=complex)
    full[1 : count + 1] = mean / np.sqrt(usual)
    return irfft(full, 2 * FINE * count), noise
