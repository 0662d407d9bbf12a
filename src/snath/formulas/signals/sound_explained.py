"""Measure how much of the sound, and of each stretch of it, common amplitudes explain.

Where the track was lost, or ran along another part for a while, the lines of that stretch do not stand in the
phases they have elsewhere, and little is explained there (docs/sound.md, equations 8b and 8c). Where what comes back
in every cycle has tones of its own, as the slap of a rotor, the lines turn against the clock.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from snath.formulas.signals.sound_phase import in_common, turned_back

LITTLE = 60.0  # what a course explains in a second, under which it may be chance's [nat/s]
TOGETHER = 6  # neighbouring blocks, about 0.3 s, whose shares are averaged
UNEXPLAINED = 0.5  # share of its usual power under which a stretch was lost
CLEARLY = 1.5  # standard deviations by which it must lie under that, as noise alone makes shares stray
KEPT = 0.75  # part of what steady and slowly turning lines explain that an engine's steady ones do at least
BY_CHANCE = (
    2.0  # times scatter over the root of the blocks that lines of noise alone seem to turn steadily by
)


@dataclass(frozen=True, slots=True)
class Explained:
    """What one comb of constant amplitudes explains.

    Attributes
    ----------
    worth : float
        ln of its likelihood over that of noise alone, by lines that are the engine's for sure. [nat]
    least : float
        Share of its usual power that the least explained stretch of about 0.3 s shows in common with the
        rest: about 1 where all blocks are alike, about 0 where some were turned at random. [1]
    lost : bool
        Whether some stretch shows clearly less than half of it.
    steady : float
        Its worth over that and what lines explain that slowly turn against the clock. [1]
    each : ndarray, shape (top,)
        Of its worth, what each line explains. [nat]
    """

    worth: float
    least: float
    lost: bool
    steady: float
    each: NDArray[np.float64]


def explained(
    lines: NDArray[Any], noise: NDArray[Any], phase: NDArray[Any], others: Iterable[int] = ()
) -> Explained:
    """What amplitudes common to all blocks explain of them.

    Parameters
    ----------
    lines : ndarray of complex, shape (blocks, top)
        Amplitudes of lines 1 to top. [any]
    noise : ndarray, shape (top,)
        Noise variance of such an amplitude. [any]
    phase : ndarray, shape (blocks,)
        Where each block stands. [cycle]
    others : sequence of int
        Lines that a driven part may make: they say nothing of what the engine's own explain.

    Returns
    -------
    Explained
        Of all blocks together and of the least explained stretch.
    """
    turned = turned_back(lines, phase)
    mean, power, trust = in_common(turned, noise)
    whole = (turned.real**2 + turned.imag**2).mean(axis=0)
    scatter = np.maximum(whole - power, 0.7 * noise)
    each = len(lines) * np.log1p(power / scatter)
    rest = turned - mean
    swung = np.abs((rest[1:] * rest[:-1].conj()).mean(axis=0)) - BY_CHANCE * scatter / np.sqrt(len(lines))
    slowly = len(lines) * np.log1p(np.maximum(swung, 0.0) / scatter)
    for one in (each, slowly):
        one[[line - 1 for line in others if line <= len(each)]] = 0.0
    worth = float(each.sum())
    usual = float((power * trust).sum())
    if usual <= 0:
        return Explained(worth, 0.0, True, 1.0, each)
    share = ((turned * mean.conj()).real * trust).sum(axis=1) / usual
    window = np.ones(min(TOGETHER, len(share)))
    counted = np.convolve(np.ones(len(share)), window, "same")
    together = np.convolve(share, window, "same") / counted
    doubt = 1 / np.sqrt(2 * usual * counted)  # of a mean of shares, by the noise of their lines
    lost = bool((together + CLEARLY * doubt < UNEXPLAINED).any())
    return Explained(worth, float(together.min()), lost, worth / (worth + float(slowly.sum())), each)
