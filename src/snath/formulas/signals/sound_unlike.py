"""Weigh whether an engine turns twice as fast as its lines say, because its firings are not heard alike.

Firings heard alike all pass one pipe, so that each line is about as loud as its neighbours: as alike as the pipe is
smooth, which lines at twice the distance show. Where strong and weak cycles alternate, as in a rich two-stroke off
load, every engine makes the lines of half its speed too, and those are weaker at every second place, all by about as
much. Where one of two cylinders is heard weaker, later or through another pipe, lines that alike cylinders would
cancel are loud too, and differ from the others by more than the pipe does (docs/sound.md, equations 13a and 13b).
Levels say half of it, phases the rest: a strong and a weak cycle are one wave twice, while the two halves of a single
cycle have nothing to do with each other (13c).
"""

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
WEAKER = np.arange(-6.0, 1.01, 0.1)  # differences looked at; where cycles alternate, any below nothing [nat]
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
REPEATED, REPEATED_WIDTH = (
    1.0,
    (0.1, 0.5),
)  # likeness of halves that are one wave: usual, width without and by noise
APART, APART_WIDTH = 0.07, (0.25, 0.4)  # the same of the halves of a single cycle
CHANCE, CHANCE_DENSITY = (0.1, 0.07), 0.25  # share of either that is anything, and its density
FILLED = (0.4, 0.65)  # weaker half over stronger one between which an echo is taken to fill the cycle
RINGS = (0.008, 0.016)  # length of a half from which a pipe has begun to fall silent, and has [s]


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


def log_odds_double(second, others, *, several: bool) -> float:
    """Belief that firings at twice the speed are not heard alike, beside alike ones at the speed.

    Parameters
    ----------
    second, others : ndarray
        From `differences`. [nat]
    several : bool
        Whether two or more cylinders fire evenly, and so may be heard unlike.

    Returns
    -------
    float
        Log of the odds. [nat]
    """
    if len(second) < FEWEST:
        return OPEN
    rough = SMOOTHER * float(np.sqrt(np.mean(others**2))) if len(others) >= FEWEST else 0.5
    said = ALIKE_LINES * _student(second - WEAKER[:, None], float(np.clip(rough, *ROUGH))).sum(axis=1)
    alike = -0.5 * (WEAKER / SYSTEMATIC) ** 2
    alike = logsumexp(said + alike) - logsumexp(alike)
    below = WEAKER < 0
    before = (
        WEAKER[below] / 2
    )  # as the share by which cycles differ may be any, a difference is by its e^(1/2)
    odds = ALTERNATING + logsumexp(said[below] + before) - logsumexp(before) - alike
    if several:
        unlike = ALIKE_LINES * _student(second - UNLIKE, UNLIKE_WIDTH).sum() - alike
        odds = np.logaddexp(odds, UNLIKE_BEFORE + unlike)
    return float(odds)


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


def log_odds_repeated(cycles, spacing, top, pace) -> float:
    """What the shape of the wave says for a strong and a weak cycle, beside one of twice their length.

    All lines are made about as loud as their neighbours, so that the wave is as short as it can be. Its two halves
    are set side by side where they differ most in strength.

    Parameters
    ----------
    cycles : ndarray, shape (cycles, points)
        Unrolled sound. [any]
    spacing : float
        Distance of the lines of the longer cycle. [cycle line]
    top : float
        Highest line to judge by. [cycle line]
    pace : float
        Cycles per second. [1/s]

    Returns
    -------
    float
        ln of the likelihood ratio; 0 where nothing can be told. [nat]
    """
    wave = _wave(cycles, spacing, top)
    if wave is None:
        return 0.0
    whitened, noise = wave
    half = len(whitened) // 2
    power = whitened**2
    total = np.concatenate([[0.0], np.cumsum(np.concatenate([power, power[:half]]))])
    strong = total[half:][: half + 1] - total[: half + 1]
    at = int(np.abs(2 * strong - total[2 * half]).argmax())
    halves = np.array([strong[at], total[2 * half] - strong[at]]) - noise * total[2 * half] / 2
    halves = np.maximum(halves, LEAST_LEFT * total[2 * half])
    alike = float((whitened[:half] * whitened[half:]).sum() / np.sqrt(halves.prod()))
    drowned = float(np.clip(noise * total[2 * half] / 2 / halves.min(), 0.0, MOST_NOISE))
    said = np.logaddexp(*_either(alike - REPEATED, REPEATED_WIDTH, drowned, CHANCE[0]))
    said -= np.logaddexp(*_either(alike - APART, APART_WIDTH, drowned, CHANCE[1]))
    if said > 0:
        return float(said)
    empty = (FILLED[1] - np.sqrt(halves.min() / halves.max())) / (FILLED[1] - FILLED[0])
    died = (1 / (2 * spacing * pace) - RINGS[0]) / (RINGS[1] - RINGS[0])
    return float(said * np.clip(empty, 0, 1) * np.clip(died, 0, 1))


def _either(off, width, noise, chance):
    """ln of the densities of a likeness that is as usual, and that may be anything. [nat]"""
    scale = width[0] + width[1] * noise
    usual = np.log1p((off / scale) ** 2 / FREEDOM) * -(FREEDOM + 1) / 2 - np.log(scale * T_NORM)
    return np.log(1 - chance) + usual, np.log(chance * CHANCE_DENSITY)


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
