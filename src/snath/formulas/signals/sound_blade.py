"""Find the ratio at which a driven blade sounds, and the sound without it.

On the unrolled clock a blade's tone stands still as the engine's lines do, only between them
(docs/sound.md, step 2).
"""

from collections.abc import Sequence
from typing import Any

import numpy as np

from snath.formulas.signals.candidates import Driven
from snath.formulas.signals.sound_evidence import OrderSpectrum, loose_evidence

RATIO_STEP = 0.0008
TONES = np.array([1, 2, 3, 4, 5])  # of the blade passing rate
LOOKED = 2.0  # price of having looked at many ratios [nat]
AVERAGED = 12  # cycles over which a tone is taken out
APART = 0.15  # nearest an engine line a tone may be and still be told from it [line]


def loudest_ratio(spectrum: OrderSpectrum, lines_per_turn: float, driven: tuple[Driven, ...]) -> Any:
    """The ratio whose tones explain most, over all driven parts.

    Parameters
    ----------
    spectrum : OrderSpectrum
        On a clock of `lines_per_turn` lines per turn of the engine.
    lines_per_turn : float
        Lines per turn. [1]
    driven : tuple of Driven
        Parts and the ranges of their ratios.

    Returns
    -------
    tuple of (float or None, float)
        Ratio [1] and what it explains [nat].
    """
    best, most = None, 0.0
    for part in driven:
        ratios = np.arange(part.ratio_low, part.ratio_high + RATIO_STEP, RATIO_STEP)
        tones = np.concatenate([[1], part.tips * TONES])
        gains = loose_evidence(spectrum, np.multiply.outer(ratios * lines_per_turn, tones))
        at = int(gains.argmax())
        if gains[at] - LOOKED > most:
            best, most = float(ratios[at]), float(gains[at]) - LOOKED
    return best, most


def sharpened(spectrum: OrderSpectrum, lines_per_turn: float, ratio: float, tips: int) -> Any:
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
    for tone in tips * TONES:
        bin_ = ratio * lines_per_turn * tone * spectrum.span
        at = round(bin_)
        reach = max(2, int(0.004 * bin_) + 1)
        if at + reach + 2 >= len(spectrum.fine) or at - reach < 2:
            break
        peak = at - reach + int(spectrum.fine[at - reach : at + reach + 1].argmax())
        left, mid, right = spectrum.fine[peak - 1 : peak + 2]
        near = peak % spectrum.span
        if mid < 1.8 or min(near, spectrum.span - near) < 2 or not left < mid > right:
            continue
        place = peak + 0.5 * (left - right) / (left - 2 * mid + right)
        values.append(place / (lines_per_turn * tone * spectrum.span))
        weights.append((tone * min(mid, 6.0)) ** 2)
    if not values:
        return None
    found, weight = np.array(values), np.array(weights) / sum(weights)
    mean = float(weight @ found)
    spread = float(np.sqrt(weight @ (found - mean) ** 2 / len(found)))
    return mean, max(spread, 0.12 / (lines_per_turn * tips * spectrum.span * np.sqrt(len(values))))


def without_tones(cycles: Any, places: Sequence[float]) -> Any:
    """Unrolled sound without tones at those places, their strength followed over a dozen cycles.

    Parameters
    ----------
    cycles : ndarray, shape (cycles, points)
        Unrolled sound. [any]
    places : sequence of float
        Where the tones stand. [cycle line]

    Returns
    -------
    ndarray, shape (cycles, points)
        What is left. [any]
    """
    count, points = cycles.shape
    left = cycles.copy()
    width = min(AVERAGED, count)
    window = np.hanning(width + 2)[1:-1]
    weight = np.convolve(np.ones(count), window, "same")
    for place in places:
        if abs(place - round(place)) < APART or place > points / 2 - 1:
            continue
        inside = np.exp(-2j * np.pi * place / points * np.arange(points)).astype(np.complex64)
        turn = np.exp(-2j * np.pi * place * np.arange(count))
        seen = (left @ inside) * turn / points
        steady = np.convolve(seen, window, "same") / weight * turn.conj()
        left -= _parts(2 * steady).T @ _parts(inside)
    return left


def _parts(values: Any) -> Any:
    """Real and imaginary parts as two rows."""
    return np.stack([values.real, values.imag]).astype(np.float32)
