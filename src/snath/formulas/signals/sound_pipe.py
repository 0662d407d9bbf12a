"""Find where in the spectrum a coasting engine is likeliest to be heard over the noise.

Its compression puffs through the pipe that was just heard firing, far weaker: what rang loud then is the first to be
heard now (docs/sound.md, section 3, release).
"""

from typing import Any

import numpy as np

from snath.formulas.signals.comb import Pattern

PIPE_FRAMES = 25  # frames before the release by which the pipe is known
BAND = 60.0  # width over which noise is taken as even [Hz]
NOTCH = 0.8  # share of its own level that a narrow lasting tone, as mains hum, keeps as noise
MAIN = 0.2  # share of a line's power from which it tells the pipe's loudness


def lasting_noise(power: Any, width: float) -> Any:
    """Noise power along frequency that lasts through all frames, lines that move passing over it.

    Parameters
    ----------
    power : ndarray, shape (frames, bins)
        Power spectra. [any]
    width : float
        Bin width. [Hz]

    Returns
    -------
    ndarray, shape (bins,)
        Expected noise power. [any]
    """
    lasting = np.median(power, axis=0) / np.log(2) + 1e-30
    size = max(int(BAND / width), 3)
    padded = np.pad(np.log(lasting), (size // 2, size - 1 - size // 2), mode="edge")
    smooth = np.exp(np.convolve(padded, np.full(size, 1 / size), "valid"))
    return np.maximum(smooth, NOTCH * lasting)


def pipe_loudness(ratio: Any, width: float, speed: Any, pattern: Pattern) -> Any:
    """Power over noise that a full line of the running engine had along frequency.

    Parameters
    ----------
    ratio : ndarray, shape (frames, bins)
        Power over noise while it ran. [1]
    width : float
        Bin width. [Hz]
    speed : ndarray, shape (frames,)
        Its speed. [rev/s]
    pattern : Pattern
        Its lines.

    Returns
    -------
    tuple of (ndarray, ndarray)
        Frequencies, rising [Hz], and the ratio there. [1]
    """
    orders, share = np.array(pattern.orders), np.array(pattern.weights) ** 2
    inside = (share > MAIN) & (orders * speed.max() / width < ratio.shape[1] - 2)
    orders, share = orders[inside], share[inside]
    place = np.rint(orders * speed[:, None] / width).astype(int)
    rows = np.arange(len(speed))[:, None]
    near = np.stack([ratio[rows, np.maximum(place + off, 0)] for off in (-1, 0, 1)]).max(axis=0)
    loud = np.maximum(np.median(near, axis=0) - 1, 0.01) / share
    return orders * float(np.median(speed)), loud
