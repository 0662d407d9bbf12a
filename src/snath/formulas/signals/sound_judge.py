"""Which multiples of the tracked speed can be the engine's, and what ratio does the blade show?"""

from dataclasses import dataclass

import numpy as np

from snath.formulas.signals.candidates import Driven
from snath.formulas.signals.comb import firing_shares
from snath.formulas.signals.sound_blade import TONES, loudest_ratio
from snath.formulas.signals.sound_evidence import (
    IMBALANCE,
    OrderSpectrum,
    comb_evidence,
    order_spectrum,
)
from snath.formulas.signals.sound_unlike import fires_evenly, log_odds_unlike, neighbours_differ

MULTIPLES = {1.0: 0.0, 0.5: -1.0, 2.0: -1.0, 2 / 3: -3.0, 1.5: -3.0, 1 / 3: -3.0, 3.0: -3.0}
MULTIPLES |= {0.75: -4.0, 4 / 3: -4.0, 0.25: -6.0, 4.0: -6.0}  # of the track, and belief before hearing [nat]
DOUBLES = (1.0, 2.0)  # multiples whose half has as many lines, if cylinders are not heard alike
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
        Log odds that unlike cylinders at this multiple make the lines of half of it; None where the firing
        leaves no such doubt. [nat]
    """

    factor: float
    evidence: float
    ratio: float | None
    ratio_evidence: float
    unlike: float | None = None


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
    blade_lines = [round(part.ratio_low * turns * part.tips * tone) for part in direct for tone in TONES]
    brief = min(1.0, len(cycles) / ENOUGH)  # few cycles leave noise unaveraged and multiples unresolved
    doubtful = DOUBLES if fires_evenly(firings) else ()
    found = []
    for factor, before in (*MULTIPLES.items(), *((value, -4.0) for value in extra)):
        if not low <= pace * turns * factor <= high:
            continue
        n = np.arange(1, int(top / factor) + 1)
        share = firing_shares(lines=n, firings=firings)
        if len(firings) > 1:
            share = np.maximum(share, IMBALANCE)
        kept = share > 1e-6
        loose = np.isin(n[kept], blade_lines) if blade_lines else np.zeros(int(kept.sum()), dtype=bool)
        evidence = brief * comb_evidence(spectrum, n[kept] * factor, share[kept], loose) + before
        ratio, gain = loudest_ratio(spectrum, factor * turns, driven)
        unlike = None
        if factor in doubtful and low <= pace * turns * factor / 2:
            unlike = log_odds_unlike(neighbours_differ(spectrum, n * factor))
        found.append(Multiple(factor, evidence + gain, ratio, gain, unlike))
    found.sort(key=lambda one: -one.evidence)
    return tuple(found), spectrum
