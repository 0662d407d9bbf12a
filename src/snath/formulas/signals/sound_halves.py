"""Tell whether a cycle's wave is one wave twice, strong and weak, or two different halves.

The halves of a single cycle have nothing to do with each other, but for what rings on from one into the next; of a
strong and a weak cycle each is the other one weaker (docs/sound.md, equations 13c and 13d).
"""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.fft import irfft, rfft
from scipy.ndimage import uniform_filter1d

from snath.formulas.signals.sound_evidence import NEIGHBOURS

SHARES = np.arange(
    0.02, 0.86, 0.04
)  # by which strong and weak cycles may differ to either side and both be heard [1]
FREEDOM = 3.0  # of Student's t: now and then a line differs by more
T_NORM = 2.72  # its density at 0, inverted
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


def halves_of(cycles: NDArray[Any], spacing: float, top: float) -> Halves | None:
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


def _likely(off: Any, width: Any, chance: float) -> Any:
    """ln of the density of a likeness that is as usual, or by some chance anything. [nat]"""
    usual = np.log1p((off / width) ** 2 / FREEDOM) * -(FREEDOM + 1) / 2 - np.log(width * T_NORM)
    return np.logaddexp(np.log(1 - chance) + usual, np.log(chance * CHANCE_DENSITY))


def _wave(cycles: NDArray[Any], spacing: float, top: float) -> tuple[NDArray[Any], float] | None:
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
