"""Could an evenly firing engine turn twice as fast as its lines say, because its cylinders are not heard alike?

Firings that are heard alike all pass one pipe, so each line is about as loud as its neighbours. Where one
cylinder is heard weaker, later or through another pipe, the lines that alike cylinders would cancel are
loud too, and then the sound is a comb with the lines of half the speed; but those lines and the others
differ in strength, as the cylinders' sounds add up in the ones and take from each other in the others
(docs/sound.md, equation 13a).
"""

import numpy as np

from snath.formulas.signals.sound_evidence import OrderSpectrum

CLEAR = 2.0  # level of a line, or of its neighbours, that can be compared [nat]
FEWEST = 6  # comparisons that say anything
ALIKE, ALIKE_SPREAD = (
    0.16,
    0.55,
)  # usual difference of a line from its neighbours, and spread of its logarithm
UNLIKE, UNLIKE_SPREAD = 1.35, 0.4  # the same of unlike cylinders; both found on simulated clips [nat]
SURE, EVEN_ODDS = -12.0, -0.03  # log odds believed at least; at most, as rough pipes do the same


def fires_evenly(firings: tuple[float, ...]) -> bool:
    """Whether two or more firings follow each other at even distances, so that lines cancel."""
    return len(firings) > 1 and bool(np.allclose(np.diff(firings), 1 / len(firings), atol=1e-3))


def neighbours_differ(spectrum: OrderSpectrum, lines):
    """Usual difference of a line's level from the mean of its neighbours'.

    Parameters
    ----------
    spectrum : OrderSpectrum
        Levels.
    lines : ndarray
        Places of evenly spaced lines, rising. [cycle line]

    Returns
    -------
    float or None
        Median [nat]; None where too few lines are clear.
    """
    place = np.rint(lines * spectrum.span).astype(int)
    level = spectrum.level[place[(place > spectrum.span // 3) & (place < len(spectrum.level) - 1)]]
    around = (level[:-2] + level[2:]) / 2
    middle = level[1:-1]
    off = np.abs(middle - around)[np.maximum(middle, around) > CLEAR]
    return float(np.median(off)) if len(off) >= FEWEST else None


def log_odds_unlike(differ: float | None) -> float:
    """Belief that unlike cylinders at twice the speed made lines that differ so much from their neighbours.

    Parameters
    ----------
    differ : float or None
        From `neighbours_differ`. [nat]

    Returns
    -------
    float
        Log of the odds, about 0 where nothing can be told; never in favour. [nat]
    """
    if differ is None:
        return EVEN_ODDS
    if differ < ALIKE:
        return SURE
    place = np.log(differ)
    unlike = -0.5 * ((place - np.log(UNLIKE)) / UNLIKE_SPREAD) ** 2 - np.log(UNLIKE_SPREAD)
    alike = -0.5 * ((place - np.log(ALIKE)) / ALIKE_SPREAD) ** 2 - np.log(ALIKE_SPREAD)
    return float(np.clip(unlike - alike, SURE, EVEN_ODDS))
