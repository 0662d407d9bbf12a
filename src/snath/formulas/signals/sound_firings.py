"""Weigh whether a cycle's firings made its wave, or twice as many that are strong and weak in turn.

Every firing sends the same answer of pipe, wall and room, which rises at once and rings down; a cycle's wave is the sum
of as many of them as it fires, each in its place and as strong as it was. So the wave of a single cycle, of a strong
and a weak one after another, and of cylinders not heard alike are one Gaussian process with other firings, and can be
weighed against each other on the same lines, loudness and phase at once (docs/sound.md, equations 13a to 13d).
"""

from collections.abc import Sequence
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.fft import rfft
from scipy.linalg.lapack import dtrtrs
from scipy.ndimage import uniform_filter1d

from snath.formulas.signals.aliases import SINGLE
from snath.formulas.signals.ranks import log_mean

LINES, FEWEST = 32, 4  # of a wave, at most and at least
PERIODS = (1, 2, 3, 4)  # cycles in which a spacing of lines may come out even
PARTS, FEWEST_PARTS = 8, 3  # of a stretch, from whose scatter the noise of a line is told
RINGS = (0.06, 0.15, 0.4, 1.0)  # time in which an answer's power rings down to 1 / e^2, in cycles
FALLING, HALF, LONGEST = (
    (1.0, 3.0),
    6.0,
    2.0,
)  # the same where high lines ring shorter: of the lowest, where half, most
SHARES = (0.07, 0.2, 0.35, 0.5, 0.65, 0.8)  # by which strong and weak cycles differ to either side
OTHERWISE = 0.1  # share of the wave that no firing made: knocks, inlets, fans
OWN = 0.015  # power of what a firing's answer has of its own, beside what all have in common
UNLIKE = 0.15  # the same of a cylinder's, where cylinders are not heard alike
STRAY = 0.5  # share of the first that does not come back with every cycle where cycles alternate
NEIGHBOURS = 7  # lines beside which one is loud
LOUDEST = 2.0  # beside them, where a resonance says no more [1]
BLURRED = 0.3  # of the noise around a line that it has at least
PLACES = 48  # of the cycle at which it may begin
LEAST = 0.05  # share of a wave's power that is taken for sound at least
AS_TOLD = 0.6  # share of the odds that is believed, as neighbouring lines repeat each other; fitted
ALTERNATING = -2.0  # belief before hearing in strong and weak cycles [nat]
THRICE, OTHER = (
    -8.0,
    -12.0,
)  # the same in three cycles, and in other firings than known, beside what is usual [nat]
MOST, SURE = 2.5, -6.5  # log odds believed: one wave in some hundreds is like none of these [nat]


class Wave(NamedTuple):
    """Lines of a cycle's wave, made about as loud as their neighbours.

    Attributes
    ----------
    lines : ndarray of complex, shape (lines,)
        Amplitudes. [1]
    noise : ndarray, shape (lines,)
        Noise variance of each. [1]
    """

    lines: NDArray[np.complex128]
    noise: NDArray[np.float64]


def log_odds_double(
    cycles: NDArray[Any],
    spacing: float,
    top: float,
    firings: tuple[float, ...],
    loose: Sequence[int] = (),
) -> float:
    """Belief that cycles of twice the speed, strong and weak in turn, made the lines, beside alike ones at the speed.

    Parameters
    ----------
    cycles : ndarray, shape (cycles, points)
        Unrolled sound. [any]
    spacing : float
        Distance of the lines of the slower speed. [cycle line]
    top : float
        Highest line to judge by. [cycle line]
    firings : tuple of float
        Fractions of a working cycle at which it fires. [1]
    loose : sequence of int
        Lines of the slower speed that another part may make.

    Returns
    -------
    float
        Log of the odds. [nat]
    """
    wave = wave_of(cycles, spacing, top)
    if wave is None:
        return ALTERNATING
    kept = np.flatnonzero(~np.isin(np.arange(1, len(wave.lines) + 1), loose))
    if len(kept) < FEWEST:
        return ALTERNATING
    even, regular = np.ones(LINES), np.where(np.arange(LINES) % 2 == 1, 2 - STRAY, STRAY)
    once, twice = -np.inf, -np.inf
    for places, before in {SINGLE.firings: OTHER, firings: 0.0}.items():
        made = _made(places)
        alike, thrice = (log_mean(_likelihoods(wave, kept, one, even)) for one in (made.alike, made.thrice))
        once = np.logaddexp(once, before + np.logaddexp(alike, THRICE + thrice))
        twice = np.logaddexp(twice, before + log_mean(_likelihoods(wave, kept, made.doubled, regular)))
    return float(np.clip(ALTERNATING + AS_TOLD * (twice - once), SURE, MOST))


def wave_of(cycles: NDArray[Any], spacing: float, top: float) -> Wave | None:
    """The lines at a spacing, all of them about as loud, and their noise.

    Parameters
    ----------
    cycles : ndarray, shape (cycles, points)
        Unrolled sound. [any]
    spacing : float
        Distance of the lines. [cycle line]
    top : float
        Highest line to judge by. [cycle line]

    Returns
    -------
    Wave or None
        None where the stretch is too short for it.
    """
    period = next((n for n in PERIODS if abs(n * spacing - round(n * spacing)) < 0.03 * n * spacing), None)
    if period is None:
        return None
    parts, step = min(PARTS, len(cycles) // (2 * period)), round(period * spacing)
    count = min(int(top * period / step), (period * cycles.shape[1] // 2 - 1) // step, LINES)
    if parts < FEWEST_PARTS or count < FEWEST:
        return None
    each = len(cycles) // (parts * period)
    folded = cycles[: parts * each * period].reshape(parts, each, -1).mean(axis=1)
    lines = rfft(folded, axis=1)[:, step : count * step + 1 : step]
    mean = lines.mean(axis=0)
    doubt = (np.abs(lines - mean) ** 2).sum(axis=0) / (parts * (parts - 1))
    around = _near(doubt, NEIGHBOURS)
    usual = _near(np.maximum(np.abs(mean) ** 2 - doubt, 0), NEIGHBOURS) + around + 1e-30
    usual += np.abs(mean) ** 2 / LOUDEST
    return Wave(mean / np.sqrt(usual), np.maximum(_near(doubt, 3), BLURRED * around) / usual)


def _near(values: NDArray[Any], size: int) -> Any:
    """Mean of so many neighbours."""
    return uniform_filter1d(values, size, mode="mirror")


class Made(NamedTuple):
    """Covariances of real and imaginary parts of the lines that firings make.

    Attributes
    ----------
    alike, thrice : ndarray, shape (rings, 2 lines, 2 lines)
        Of the firings of one cycle, and of three alike in the time of one, whose lines are those of neither speed.
    doubled : ndarray, shape (states, 2 lines, 2 lines)
        Of two cycles in the time of one, strong and weak in turn or of cylinders that are not heard alike.
    """

    alike: NDArray[np.float64]
    thrice: NDArray[np.float64]
    doubled: NDArray[np.float64]


@lru_cache(maxsize=32)
def _made(firings: tuple[float, ...]) -> Made:
    """Covariances of all lines there may be."""
    places = np.array(firings)
    twice = np.concatenate([places / 2, (places + 1) / 2])
    turns = np.repeat([1.0, -1.0], len(places))
    falls = 1 + np.arange(1, LINES + 1) / HALF
    rings = [np.full(LINES, ring) for ring in RINGS] + [np.minimum(ring / falls, LONGEST) for ring in FALLING]
    thrice = np.concatenate([(places + turn) / 3 for turn in range(3)])

    def over(where: NDArray[Any], strengths: Any = 1.0, unlike: float = 0.0) -> Any:
        return [_covariance(where, strengths, ring, len(places), unlike) for ring in rings]

    doubled = [one for share in SHARES for one in over(twice, 1 + share * turns)]
    doubled += over(twice, unlike=UNLIKE) if len(places) > 1 else []
    return Made(np.array(over(places)), np.array(over(thrice)), np.array(doubled))


def _covariance(
    places: NDArray[Any], strengths: Any, rings: NDArray[Any], cylinders: int, unlike: float
) -> Any:
    """Covariance of lines of an answer of white noise that rings down, each in its time, heard at places of a cycle."""
    line = np.arange(1, LINES + 1)
    each = strengths * np.exp(-2j * np.pi * np.outer(line, places))
    by_cylinder = each.reshape(LINES, -1, cylinders).sum(axis=1)
    heard = [each.sum(axis=1), *np.sqrt(OWN) * each.T, *np.sqrt(unlike) * by_cylinder.T]
    apart, both = line[:, None] - line, line[:, None] + line
    slow, mean = (1 / rings[:, None] + 1 / rings) / 2, np.sqrt(np.outer(rings, rings))
    proper = sum(np.outer(one, one.conj()) for one in heard) / (mean * (slow + 1j * np.pi * apart))
    mirrored = sum(np.outer(one, one) for one in heard) / (mean * (slow + 1j * np.pi * both))
    return np.block(
        [
            [(proper + mirrored).real, (mirrored - proper).imag],
            [(mirrored + proper).imag, (proper - mirrored).real],
        ]
    )


def _likelihoods(wave: Wave, kept: NDArray[Any], made: NDArray[Any], other: NDArray[Any]) -> Any:
    """ln of likelihood of the kept lines, for each covariance and each beginning of the cycle."""
    loud = (
        float(np.mean(np.abs(wave.lines[kept]) ** 2)) + 1e-30
    )  # neighbours that are left out may have been louder
    noise = np.tile(wave.noise[kept] / loud, 2)
    power = max(1 - float(noise.mean()), LEAST)
    both = np.concatenate([kept, LINES + kept])
    usual = np.diagonal(made, axis1=-2, axis2=-1).reshape(-1, 2, LINES)[..., : len(wave.lines)]
    made = made[..., both[:, None], both] / usual.mean(axis=(-2, -1))[..., None, None]
    spread = power * ((1 - OTHERWISE) * made + OTHERWISE * np.diag(np.tile(other[kept], 2))) + np.diag(noise)
    turned = wave.lines[kept, None] * np.exp(2j * np.pi * np.outer(kept + 1, np.arange(PLACES) / PLACES))
    seen = np.sqrt(2 / loud) * np.concatenate([turned.real, turned.imag])
    said = []
    for lower in np.linalg.cholesky(spread):
        left = dtrtrs(lower, seen, lower=1)[0]
        said.append(-0.5 * np.einsum("ij,ij->j", left, left) - np.log(np.diag(lower)).sum())
    return np.concatenate(said)
