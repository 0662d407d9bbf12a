"""Is there mains hum in the recording, and what is left without it?

Hum stands at exact multiples of the mains frequency and nowhere else; an engine at the same speed has a
whole comb there, and its lines are broader. Only the first is taken out (docs/sound.md).
"""

import numpy as np
from scipy.fft import irfft, next_fast_len, rfft

MAINS = (50.0, 60.0)
HUMMED = (1, 2, 3, 5)  # multiples hum is known for; from memory: rectifiers and cores
NOT_HUMMED = (7, 8, 9, 11, 12, 13)  # a comb reaching up here is an engine's
CLEAR = 30.0  # power of a line over that around it
REACH = 3  # bins that a line spills into


def without_hum(x, rate):
    """The signal without hum, and the mains frequency found.

    Parameters
    ----------
    x : ndarray, shape (n,)
        Sound. [any]
    rate : float
        Samples per second. [1/s]

    Returns
    -------
    tuple of (ndarray, float or None)
        Signal, and 50 or 60 or None. [any], [Hz]
    """
    size = next_fast_len(len(x), real=True)
    if size / rate < 1.5:
        return x, None
    spectrum = rfft(x, size)
    width = rate / size
    for mains in MAINS:
        lines = [int(at) for at in np.rint(mains * np.array(HUMMED) / width) if at + 40 < len(spectrum)]
        found = [at for at in lines if _clear(spectrum, at)]
        others = [round(mains * n / width) for n in NOT_HUMMED]
        engine = sum(_clear(spectrum, at) for at in others if at + 40 < len(spectrum))
        if len(found) < 2 or engine > 1:
            continue
        for at in found:
            inside = slice(at - REACH, at + REACH + 1)
            power = np.abs(spectrum[inside])
            spectrum[inside] *= np.minimum(1, _around(spectrum, at) / (power + 1e-30))
        return irfft(spectrum, size)[: len(x)].astype(np.float32, copy=False), mains
    return x, None


def _around(spectrum, at):
    """Usual amplitude beside a bin."""
    sides = np.concatenate([spectrum[at - 30 : at - 5], spectrum[at + 6 : at + 31]])
    return float(np.median(np.abs(sides))) + 1e-30


def _clear(spectrum, at):
    """Whether a narrow line stands at that bin: loud there, quiet next to it."""
    if at < 35:
        return False
    here = float(np.max(np.abs(spectrum[at - 1 : at + 2])))
    beside = float(np.median(np.abs(np.concatenate([spectrum[at - 8 : at - 3], spectrum[at + 4 : at + 9]]))))
    return here > np.sqrt(CLEAR) * max(_around(spectrum, at), beside)
