"""Judge which multiple of the tracked speed is the engine's, by the presence and strength of every line.

On the unrolled clock all simple multiples share one spectrum, so they can be weighed against each other
on the same data: lines that should be there and are, lines that should be and are not, lines nobody
explains (docs/sound.md, equations 11 to 13).
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray
from scipy.fft import rfft
from scipy.ndimage import maximum_filter1d

from snath.formulas.signals.ranks import running_rank
from snath.formulas.signals.spectra import hann

SPAN = 24  # cycles in a block of this spectrum: all simple multiples fall on whole bins
STRAY = 0.03  # share of places where a line nobody explains may stand
BELL = 0.8 - STRAY  # share of places where there is noise alone
NOISE_CENTRE, NOISE_WIDTH = 0.35, 0.45  # log level of the largest of three averaged noise bins
LINE_WIDTH = 1.2  # spread of a line's log level about its neighbours', mufflers ring
USUAL, GONE = (
    0.65,
    0.15,
)  # share of lines about as loud as their neighbours, and of those a pipe or a wall swallows
KEPT, CANCELLED_WIDTH = 0.45, 2.0  # the same of lines that alike cylinders would cancel [1], [nat]
KNOCKS = (
    3.5  # how much louder than that knocks once a cycle, and cylinders not heard alike, make the others [nat]
)
BROAD = 3.5  # spread of the others, which may be anything [nat]
FAINTEST, HIGHEST, GRAIN = (
    -10.0,
    14.0,
    0.1,
)  # log powers beside the noise that are told apart, and how finely [nat]
SKIRT = 4.5  # how far below the loudest line nearby uneven cycles may fill the gaps
NEIGHBOURS, RANK = 9, 6  # lines that tell a line its height, a little over the middle one of them
IMBALANCE = 0.003  # share by which lines appear that equal cylinders would cancel


@dataclass(frozen=True, slots=True)
class OrderSpectrum:
    """Log level over noise at multiples of 1 / `span` cycle, largest of each place and its neighbours.

    Attributes
    ----------
    level : ndarray, shape (bins,)
        ln(power / noise), not below 0. [1]
    nothing : ndarray, shape (bins,)
        Density of such a level where no line is claimed. [1]
    loose : ndarray, shape (bins,)
        ln of what a line of unknown strength there explains more than nothing. [1]
    fine : ndarray, shape (bins,)
        ln(power / noise) of each place alone. [1]
    span : int
        Bins per line of the working cycle. [1]
    """

    level: NDArray[np.float64]
    nothing: NDArray[np.float64]
    loose: NDArray[np.float64]
    fine: NDArray[np.float64]
    span: int


def order_spectrum(cycles: NDArray[Any], top: int) -> OrderSpectrum:
    """Mean spectrum of blocks of many cycles.

    Parameters
    ----------
    cycles : ndarray, shape (cycles, points)
        Unrolled sound. [any]
    top : int
        Highest line of the working cycle wanted. [1]

    Returns
    -------
    OrderSpectrum
        Up to line `top`.
    """
    count, points = cycles.shape
    span = min(SPAN, max(2 * (count // 3), 2))
    hop = max(span // 2, -(-(count - span) // 40), 1)
    blocks = sliding_window_view(cycles.reshape(-1), span * points)[:: hop * points]
    spectrum = rfft(blocks * hann(span * points), axis=1)
    power = (spectrum.real**2 + spectrum.imag**2).mean(axis=0)[: top * span + 2]
    band = 3 * span
    bands = max(len(power) // band, 1)
    cut = power[: bands * band].reshape(bands, -1)
    low = np.partition(cut, cut.shape[1] // 3, axis=1)[:, cut.shape[1] // 3]
    floor = np.interp(np.arange(len(power)), (np.arange(bands) + 0.5) * band, np.log(low + 1e-30))
    level = np.log(power + np.float32(1e-30)) - floor.astype(power.dtype)
    widest = np.maximum(level, np.maximum(np.roll(level, 1), np.roll(level, -1)))
    widest[: span // 3] = 0
    widest = np.maximum(widest, 0.0)
    skirt = np.maximum(maximum_filter1d(widest, 2 * span + 1) - SKIRT, NOISE_CENTRE)
    nothing = _noise(widest, skirt)
    loose = np.log(0.15 * np.exp(-widest / 4) / nothing + 0.4)
    return OrderSpectrum(widest, nothing, loose, level, span)


def _noise(level: NDArray[Any], skirt: NDArray[Any]) -> Any:
    """Density of a level where no line is claimed, beside the level that uneven cycles of a loud line nearby bring."""
    return (
        BELL * line_densities().alone[_grain(level)]
        + 0.2 * np.exp(-np.maximum(level - skirt, 0)) / (1 + skirt)
        + STRAY * np.exp(-level / 3) / 3
    )


def comb_evidence(
    spectrum: OrderSpectrum, lines: NDArray[Any], share: NDArray[Any], loose: NDArray[np.bool_]
) -> float:
    """Evidence of a comb against nobody's lines.

    Parameters
    ----------
    spectrum : OrderSpectrum
        Levels.
    lines : ndarray
        Places of its lines. [cycle line]
    share : ndarray
        Expected power of each as a share of the strongest its neighbours could have. [1]
    loose : ndarray of bool
        Lines another tone may make louder.

    Returns
    -------
    float
        ln of the likelihood ratio. [1]
    """
    place = np.rint(lines * spectrum.span).astype(int)
    inside = (place > spectrum.span // 3) & (place < len(spectrum.level) - 1)
    place, share, loose = place[inside], share[inside], loose[inside]
    if len(place) < 3:
        return -np.inf
    level = spectrum.level[place]
    main = (share > 0.2) & ~loose
    if main.sum() < 2:
        return -np.inf
    below = np.log(share)
    beyond = np.log(np.maximum(np.exp(level[main]) - np.exp(NOISE_CENTRE), np.exp(FAINTEST)))
    height = _usual(beyond - below[main])
    envelope = np.interp(place, place[main], height)
    nothing, louder = spectrum.nothing[place], _louder(level, envelope + below, main)
    return float(np.where(loose, spectrum.loose[place], np.log1p(louder / nothing)).sum())


def _louder(level: NDArray[Any], expected: NDArray[Any], main: NDArray[np.bool_]) -> NDArray[Any]:
    """What a line of that expected log power beside the noise adds to the density of a level where none is."""
    known = line_densities()
    row, at = _grain(expected - FAINTEST, HIGHEST - FAINTEST), _grain(level)
    return np.asarray(BELL * np.where(main, known.full[row, at], known.cancelled[row, at]))


def _grain(value: NDArray[Any], most: float = HIGHEST) -> Any:
    """Place of a level in the tables below."""
    return np.rint(np.clip(value, 0, most) / GRAIN).astype(int)


class Densities(NamedTuple):
    """Densities of levels from 0 on in steps of `GRAIN`; rows are for expected log powers from `FAINTEST` on.

    Attributes
    ----------
    alone : ndarray, shape (levels,)
        Of noise alone. [1]
    full, cancelled : ndarray, shape (expected, levels)
        Of a full line, and of one that alike cylinders would cancel, less that of noise alone. [1]
    """

    alone: NDArray[np.float64]
    full: NDArray[np.float64]
    cancelled: NDArray[np.float64]


@lru_cache(maxsize=1)
def line_densities() -> Densities:
    """Densities of the level of a line whose log power strays about what its neighbours let expect.

    Its level is that of its power and the noise's together: a line that must drown in the noise says nothing,
    whether or not it is there.
    """
    power = np.arange(FAINTEST - 3 * BROAD, HIGHEST + 3 * BROAD, GRAIN)
    level = np.arange(0.0, HIGHEST + GRAIN / 2, GRAIN)
    bell = NOISE_CENTRE + NOISE_WIDTH * np.arange(-4.0, 4.0, 0.02)
    chance = np.exp(-0.5 * ((bell - NOISE_CENTRE) / NOISE_WIDTH) ** 2)
    both = _grain(np.logaddexp(power[:, None], bell))
    seen = np.zeros((len(power), len(level)))
    np.add.at(seen, (np.arange(len(power))[:, None], both), chance / chance.sum() / GRAIN)
    expected = np.arange(FAINTEST, HIGHEST + GRAIN / 2, GRAIN)[:, None]

    def strays(width: float, louder: float = 0.0) -> Any:
        weight = np.exp(-0.5 * ((power - expected - louder) / width) ** 2)
        return (weight / weight.sum(axis=1, keepdims=True)) @ seen

    gone = (1 - GONE) * seen[0]
    full = USUAL * strays(LINE_WIDTH) + (1 - USUAL - GONE) * strays(BROAD) - gone
    cancelled = KEPT * strays(CANCELLED_WIDTH) + (1 - KEPT - GONE) * strays(BROAD, KNOCKS) - gone
    return Densities(seen[0], full, cancelled)


def loose_evidence(spectrum: OrderSpectrum, lines: NDArray[Any]) -> Any:
    """Evidence of lines of unknown strength, summed over the last axis of `lines`."""
    place = np.rint(lines * spectrum.span).astype(int)
    outside = (place <= spectrum.span // 3) | (place >= len(spectrum.level) - 1)
    gain = spectrum.loose.take(place, mode="clip")
    gain[outside] = 0.0
    return gain.sum(axis=-1)


def _usual(values: NDArray[Any]) -> Any:
    """Usual height of each line and its neighbours, the ends mirrored."""
    half = NEIGHBOURS // 2
    if len(values) > half:
        ends = values[half:0:-1], values[-2 : -half - 2 : -1]
    else:
        ends = np.repeat(values[0], half), np.repeat(values[-1], half)
    padded = np.concatenate([ends[0], values, ends[1]])
    return running_rank(padded, NEIGHBOURS, RANK)
