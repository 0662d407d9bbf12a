"""List the multiples of the tracked speed that can be the engine's, and the ratio a blade shows."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from snath.formulas.signals.candidates import Driven
from snath.formulas.signals.comb import firing_shares
from snath.formulas.signals.sound_blade import TONES, loudest_ratio
from snath.formulas.signals.sound_evidence import (
    IMBALANCE,
    OrderSpectrum,
    comb_evidence,
    order_spectrum,
)
from snath.formulas.signals.sound_firings import log_odds_double

MULTIPLES = {1.0: 0.0, 0.5: -6.0, 2.0: -6.0, 2 / 3: -8.0, 1.5: -8.0, 1 / 3: -8.0, 3.0: -8.0}
MULTIPLES |= {0.75: -9.0, 4 / 3: -9.0, 0.25: -10.0, 4.0: -10.0}
# shares of the best path that the engine's speed may be, and belief before hearing; settled on simulated clips [nat]
FEW, FEW_SHARE = (
    16,
    0.3,
)  # lines under which a comb is easily passed over for a fuller one, and the part of it left
ELSE = -8.0  # the same of any other share of the best path, as of a blade taken for an engine [nat]
ALIKE = 0.02  # shares nearer each other are the same
BEYOND = 1.1  # share by which an octave may lie outside the range and still stand
HOPELESS = 40.0  # evidence a multiple may lack and still be looked at further [nat]
ENOUGH = 24.0  # cycles from which evidence counts in full


@dataclass(frozen=True, slots=True)
class Multiple:
    """One multiple of the track as the engine's speed.

    Attributes
    ----------
    factor : float
        Engine's speed over the tracked one.
    evidence : float
        ln of likelihood, beside no engine. [nat]
    ratio : float or None
        Of the driven part that explains most more. [1]
    ratio_evidence : float
        What it explains. [nat]
    unlike : float or None
        Log odds that unlike cylinders or cycles at this multiple make the lines of half of it; None where half
        lies outside the range or far behind. [nat]
    """

    factor: float
    evidence: float
    ratio: float | None
    ratio_evidence: float
    unlike: float | None = None


def belief(share: float, lines: int) -> float:
    """Belief before hearing that the engine, of so many lines, has that share of the best path's speed. [nat]"""
    known = min(MULTIPLES, key=lambda one: abs(one / share - 1))
    before = MULTIPLES[known] if abs(known / share - 1) < ALIKE else ELSE
    return before * FEW_SHARE if lines < FEW else before


def judged(
    cycles: NDArray[Any],
    pace: float,
    *,
    share: float,
    turns: int,
    firings: tuple[float, ...],
    low: float,
    high: float,
    driven: tuple[Driven, ...],
    direct: tuple[Driven, ...],
    top_frequency: float,
    extra: Sequence[float] = (),
) -> tuple[tuple[Multiple, ...], OrderSpectrum]:
    """Evidence of every multiple inside the range, best first.

    Parameters
    ----------
    cycles : ndarray, shape (cycles, points)
        Unrolled sound. [any]
    pace : float
        Tracked cycles per second. [1/s]
    share : float
        Tracked speed over that of the best path through the frames. [1]
    turns : int
        Turns of a working cycle. [1]
    firings : tuple of float
        Fractions of the cycle. [1]
    low, high : float
        Range of engine speed. [rev/s]
    driven : tuple of Driven
        Parts driven through a ratio.
    direct : tuple of Driven
        Parts whose tones are engine orders.
    top_frequency : float
        Highest frequency to judge by. [Hz]
    extra : sequence of float
        Further multiples to judge. [1]

    Returns
    -------
    tuple of (tuple of Multiple, OrderSpectrum)
        Best first, and the spectrum they were judged on.
    """
    top = int(min(32 * turns, top_frequency / pace, cycles.shape[1] // 2 - 3))
    spectrum = order_spectrum(cycles, max(top, 4))
    blade_lines = [round(part.ratio_low * turns * part.tips * tone) for part in direct for tone in TONES]
    brief = min(1.0, len(cycles) / ENOUGH)  # few cycles leave noise unaveraged and multiples unresolved
    low, high = low / BEYOND, high * BEYOND
    factors = [one for one in (*MULTIPLES, *extra) if low <= pace * turns * one <= high]
    every = np.arange(1, int(top / min(factors, default=1.0)) + 1)
    powers = firing_shares(lines=every, firings=firings)
    if len(firings) > 1:
        powers = np.maximum(powers, IMBALANCE)
    found = []
    for factor in factors:
        n = every[: int(top / factor)]
        power = powers[: len(n)]
        kept = power > 1e-6
        loose = np.isin(n[kept], blade_lines) if blade_lines else np.zeros(int(kept.sum()), dtype=bool)
        evidence = brief * comb_evidence(spectrum, n[kept] * factor, power[kept], loose)
        evidence += belief(share * factor, len(n))
        ratio, gain = loudest_ratio(spectrum, factor * turns, driven)
        found.append(Multiple(factor, evidence + gain, ratio, gain))
    best = max((one.evidence for one in found), default=0.0)
    halves = [one.factor for one in found if one.evidence > best - HOPELESS]
    for i, one in enumerate(found):
        half = next((slower for slower in halves if abs(2 * slower / one.factor - 1) < 1e-6), None)
        if half is not None:
            either = (*blade_lines, *(2 * line for line in blade_lines))  # whichever of both speeds it has
            found[i] = replace(one, unlike=log_odds_double(cycles, half, top, firings, either))
    found.sort(key=lambda one: -one.evidence)
    return tuple(found), spectrum
