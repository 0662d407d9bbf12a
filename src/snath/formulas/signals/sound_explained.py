"""How much of every stretch of the sound do amplitudes common to all of it explain?

Where the track was lost, or ran along another part for a while, the lines of that stretch do not stand in the
phases they have elsewhere, and little is explained there (docs/sound.md, equation 8b).
"""

import numpy as np

from snath.formulas.signals.sound_phase import in_common, turned_back

TOGETHER = 6  # neighbouring blocks, about 0.3 s, whose shares are averaged


def least_explained(lines, noise, phase) -> float:
    """Share of its usual power that the least explained stretch of about 0.3 s shows in common with the rest.

    Parameters
    ----------
    lines : ndarray of complex, shape (blocks, top)
        Amplitudes of lines 1 to top. [any]
    noise : ndarray, shape (top,)
        Noise variance of such an amplitude. [any]
    phase : ndarray, shape (blocks,)
        Where each block stands. [cycle]

    Returns
    -------
    float
        About 1 where all blocks are alike, about 0 where some were turned at random. [1]
    """
    turned = turned_back(lines, phase)
    mean, power, trust = in_common(turned, noise)
    usual = float((power * trust).sum())
    if usual <= 0:
        return 0.0
    share = ((turned * mean.conj()).real * trust).sum(axis=1) / usual
    window = np.ones(min(TOGETHER, len(share)))
    counted = np.convolve(np.ones(len(share)), window, "same")
    return float((np.convolve(share, window, "same") / counted).min())
