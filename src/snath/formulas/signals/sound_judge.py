"""Which multiples of the tracked speed can be the engine's, and what ratio does the blade show?"""

from dataclasses import dataclass

import numpy as np

from snath.formulas.signals.candidates import Driven
from snath.formulas.signals.comb import firing_shares
from snath.formulas.signals.sound_evidence import (
    IMBALANCE,
    OrderSpectrum,
    comb_evidence,
    loose_evidence,
    order_spectrum,
)

MULTIPLES = {1.0: 0.0, 0.5: -1.0, 2.0: -1.0, 2 / 3: -3.0, 1.5: -3.0, 1 / 3: -3.0, 3.0: -3.0}
MULTIPLES |= {0.75: -4.0, 4 / 3: -4.0, 0.25: -6.0, 4.0: -6.0}  # of the track, and belief before hearing [nat]
RATIO_STEP = 0.0008
BLADE_TONES = np.array([1, 2, 3, 4, 5])


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
    """

    factor: float
    evidence: float
    ratio: float | None
    ratio_evidence: float


def judged(
    cycles,
    pace,
    *,
    turns,
    firings,
    low,
    high,
    driven: tuple[Driven, ...],
    direct: tuple[Driven, ...],
    top_frequency,
    extra=(),
) -> tuple[tuple[Multiple, ...], OrderSpectrum]:
    """Evidence of every multiple inside the range, best first.

    Parameters
    ----------
    cycles : ndarray, shape (cycles, points)
        Unrolled sound. [any]
    pace : float
        Tracked cycles per second. [1/s]
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
    top = int(min(24 * turns, top_frequency / pace, cycles.shape[1] // 2 - 3))
    spectrum = order_spectrum(cycles, max(top, 4))
    blade_lines = [
        round(part.ratio_low * turns * part.tips * tone) for part in direct for tone in BLADE_TONES
    ]
    found = []
    for factor, before in (*MULTIPLES.items(), *((value, -4.0) for value in extra)):
        if not low <= pace * turns * factor <= high:
            continue
        n = np.arange(1, int(top / factor) + 1)
        share = firing_shares(lines=n, firings=firings)
        if len(firings) > 1:
            share = np.maximum(share, IMBALANCE)
        kept = share > 1e-6
        loose = np.isin(n[kept], blade_lines)
        evidence = comb_evidence(spectrum, n[kept] * factor, share[kept], loose) + before
        ratio, gain = _ratio(spectrum, factor * turns, driven)
        found.append(Multiple(factor, evidence + gain, ratio, gain))
    found.sort(key=lambda one: -one.evidence)
    return tuple(found), spectrum


def _ratio(spectrum, lines_per_turn, driven):
    """The ratio whose tones explain most, over all driven parts, less the price of having looked."""
    best, most = None, 0.0
    for part in driven:
        ratios = np.arange(part.ratio_low, part.ratio_high + RATIO_STEP, RATIO_STEP)
        tones = np.concatenate([[1], part.tips * BLADE_TONES])
        gains = loose_evidence(spectrum, np.multiply.outer(ratios * lines_per_turn, tones))
        at = int(gains.argmax())
        if gains[at] - 2.0 > most:
            best, most = float(ratios[at]), float(gains[at]) - 2.0
    return best, most


def sharpened(spectrum: OrderSpectrum, lines_per_turn, ratio, tips):
    """A ratio to a fraction of a bin: weighted mean of where its tones peak, with its spread.

    Parameters
    ----------
    spectrum : OrderSpectrum
        Levels before widening are in `fine`.
    lines_per_turn : float
        Lines of the tracked cycle per turn of the engine. [1]
    ratio : float
        First guess. [1]
    tips : int
        Features per turn. [1]

    Returns
    -------
    tuple of (float, float) or None
        Ratio and its standard uncertainty [1]; None where no tone stands clear of the engine's lines.
    """
    values, weights = [], []
    for tone in tips * BLADE_TONES:
        bin_ = ratio * lines_per_turn * tone * spectrum.span
        at = round(bin_)
        reach = max(2, int(0.004 * bin_) + 1)
        if at + reach + 2 >= len(spectrum.fine) or at - reach < 2:
            break
        window = spectrum.fine[at - reach : at + reach + 1]
        peak = at - reach + int(window.argmax())
        left, mid, right = spectrum.fine[peak - 1 : peak + 2]
        near = peak % spectrum.span
        if mid < 1.8 or min(near, spectrum.span - near) < 2 or not left < mid > right:
            continue
        place = peak + 0.5 * (left - right) / (left - 2 * mid + right)
        values.append(place / (lines_per_turn * tone * spectrum.span))
        weights.append((tone * min(mid, 6.0)) ** 2)
    if not values:
        return None
    mean = float(np.average(values, weights=weights))
    spread = float(np.sqrt(np.average((np.array(values) - mean) ** 2, weights=weights) / max(len(values), 1)))
    return mean, max(spread, 0.12 / (lines_per_turn * tips * spectrum.span * np.sqrt(len(values))))
