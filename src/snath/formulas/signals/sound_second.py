"""Detect another engine, or anything else with lines of its own, beside the one followed.

On the unrolled clock the followed engine's lines, and those that its uneven cycles make, stand at whole and half
numbers, and those of what it drives at places known; another engine's lines stand between them (docs/sound.md,
section 3).
"""

from collections.abc import Sequence

import numpy as np
from scipy.ndimage import maximum_filter1d, median_filter

from snath.formulas.signals.candidates import Driven
from snath.formulas.signals.sound_evidence import SKIRT, OrderSpectrum

NEAR = 2  # bins beside the followed engine's own lines, and those of what it drives, that say nothing
AROUND = 11  # free places, about those of a line and a half, from whose middle a stray line stands out
STANDS_OUT, MOST = (
    1.5,
    1.5,
)  # how far noise may, and what one line may say beyond, as a lone tone is no engine [nat]
HUMS = range(1, 41)  # multiples of the mains that may be heard
CLEAR = 2.0  # what stray lines must say in all [nat]


def strays(spectrum: OrderSpectrum, own: Sequence[tuple[float, float]] = ()) -> float:
    """What lines say that stand between those of the engine and of what it drives.

    Parameters
    ----------
    spectrum : OrderSpectrum
        On the followed engine's clock.
    own : sequence of (float, float)
        Between which places other tones lie that are the followed machine's own. [line]

    Returns
    -------
    float
        Sum of how far they stand out from the noise around them, and from what a loud line nearby may leave. [nat]
    """
    level = spectrum.fine
    place = np.arange(len(level))
    half = spectrum.span / 2
    free = (np.abs(place - np.rint(place / half) * half) > NEAR) & (place > spectrum.span // 3)
    near = NEAR + 0.004 * place
    for low, high in own:
        free &= (place < low * spectrum.span - near) | (place > high * spectrum.span + near)
    if not free.any():
        return 0.0
    on_line = np.abs(place - np.rint(place / spectrum.span) * spectrum.span) <= 1
    left = np.maximum(maximum_filter1d(np.where(on_line, level, 0.0), 2 * spectrum.span + 1) - SKIRT, 0.0)[
        free
    ]
    top = ((level > np.roll(level, 1)) & (level >= np.roll(level, -1)))[free]
    out = level[free] - np.maximum(median_filter(level[free], AROUND), left)
    return float(np.clip(out[top] - STANDS_OUT, 0.0, MOST).sum())


def known_spans(
    driven: tuple[Driven, ...], turns: int, mains: float | None, pace: float
) -> tuple[tuple[float, float], ...]:
    """Where tones that are no other engine's may lie: of what the engine drives, all over its ratio, and mains hum.

    Parameters
    ----------
    driven : tuple of Driven
        Parts.
    turns : int
        Of the engine in a cycle. [1]
    mains : float or None
        Whose hum is heard. [Hz]
    pace : float
        Cycles per second. [1/s]

    Returns
    -------
    tuple of (float, float)
        Lowest and highest place of each tone. [cycle line]
    """
    hum = () if mains is None else (mains / pace * n for n in HUMS)
    return tuple((place, place) for place in hum) + tuple(
        (part.ratio_low * turns * tone, part.ratio_high * turns * tone)
        for part in driven
        for tone in (1, *(part.tips * n for n in range(1, 8)))
    )
