"""Find the comb of a second engine that runs beside the one followed.

On the unrolled clock the followed engine's lines, and those that its uneven cycles make, stand at whole and half
numbers; another engine's comb stands between them, and so many lines at even distances are no chance
(docs/sound.md, section 3).
"""

import numpy as np
from scipy.ndimage import maximum_filter1d

from snath.formulas.signals.candidates import Driven
from snath.formulas.signals.sound_evidence import OrderSpectrum

LINES = 14  # of the other comb
NEAR = 2  # bins beside the followed engine's own lines, and those of what it drives, that say nothing
STEP = 0.004  # of the spacings tried, as a share
MOST = 3.0  # one line may say, so that a lone tone is no comb [nat]
LEAST, GREATEST = 0.3, 3.3  # spacings looked at, between which a comb has lines enough [line]
FAINT = 6.0  # how far below the loudest line nearby a window's own skirt may reach [nat]
FEWEST = 6  # lines that must be there to be looked at
CLEAR = 6.0  # what its lines must say in all [nat]
ALIKE = 0.35  # share of its lines that must themselves be heard


def second_comb(spectrum: OrderSpectrum, low, high, own=()) -> float | None:
    """Spacing of a second comb, in lines of the followed one.

    Parameters
    ----------
    spectrum : OrderSpectrum
        On the followed engine's clock.
    low, high : float
        Range of spacings looked at. [line]
    own : sequence of float
        Places of other tones that are the followed machine's own. [line]

    Returns
    -------
    float or None
        Spacing [line]; None where no comb stands out from what other spacings show.
    """
    spacing, out = strongest(spectrum, low, high, own)
    return spacing if out > CLEAR else None


def strongest(spectrum: OrderSpectrum, low, high, own=()) -> tuple[float, float]:
    """The spacing whose lines between the followed engine's say most, and what they say. [line], [nat]"""
    bins = len(spectrum.level)
    place = np.arange(bins)
    half = spectrum.span / 2
    off = np.abs(place - np.rint(place / half) * half)
    free = (off > NEAR) & (place > spectrum.span // 3)
    for tone in own:
        free &= np.abs(place - tone * spectrum.span) > NEAR + 0.004 * place
    low, high = max(low, LEAST), min(high, GREATEST)
    if high <= low or free.sum() < bins / 4:
        return 1.0, 0.0
    spacing = np.exp(np.arange(np.log(low), np.log(high), STEP))
    at = np.rint(np.outer(spacing * spectrum.span, np.arange(1, LINES + 1))).astype(int)
    counted = (at < bins - 1) & free.take(at, mode="clip")
    count = counted.sum(axis=1)
    faint = spectrum.level < maximum_filter1d(spectrum.level, 2 * spectrum.span + 1) - FAINT
    said = np.clip(np.where(faint, np.minimum(spectrum.loose, 0.0), spectrum.loose), -1.0, MOST)
    score = np.where(counted, said.take(at, mode="clip"), 0.0).sum(axis=1)
    there = (counted & (said.take(at, mode="clip") > 0.5)).sum(axis=1)
    score[(count < FEWEST) | (there < np.maximum(ALIKE * count, 4))] = 0.0
    best = int(score.argmax())
    return float(spacing[best]), float(score[best])


def tones_of_own(driven: tuple[Driven, ...], ratio: float | None, turns: int) -> tuple[float, ...]:
    """Places of the tones of what the engine drives, at the ratio heard or else all over the sheet's range.

    Parameters
    ----------
    driven : tuple of Driven
        Parts.
    ratio : float or None
        As heard. [1]
    turns : int
        Of the engine in a cycle. [1]

    Returns
    -------
    tuple of float
        Places. [cycle line]
    """
    places = []
    for part in driven:
        ratios = (ratio,) if ratio is not None else np.arange(part.ratio_low, part.ratio_high + 0.002, 0.004)
        for one in ratios:
            places += [one * turns * tone for tone in (1, *(part.tips * n for n in range(1, 8)))]
    return tuple(places)
