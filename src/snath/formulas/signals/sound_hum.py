"""Find mains hum in a recording, and take it out.

Hum stands at exact multiples of the mains frequency and nowhere else; an engine at the same speed has a
whole comb there, and its lines are broader. Only the first is taken out (docs/sound.md).
"""

from collections.abc import Iterable
from typing import Any

import numpy as np

from snath.formulas.signals.ranks import median

MAINS = (50.0, 60.0)
HUMMED = (1, 2, 3, 5)  # multiples hum is known for; from memory: rectifiers and cores
SPREAD = range(1, 13)  # multiples that a rectifier or a choke may leave of it
NOT_HUMMED = (7, 8, 9, 11, 12, 13)  # a comb reaching up here is an engine's
CLEAR = 30.0  # power of a line over that around it
WIDEST = 0.7  # bins in which hum can be told from an engine's line [Hz]
REACH = 3  # bins that a line spills into
ON_MAINS = 0.001  # share by which a network's frequency and a phone's clock may be off together; from memory


def without_hum(spectrum: Any, width: float) -> Any:
    """A spectrum without hum, and the mains frequency found.

    Parameters
    ----------
    spectrum : ndarray of complex, shape (bins,)
        Of the whole recording. [any]
    width : float
        Bin width. [Hz]

    Returns
    -------
    tuple of (ndarray, float or None)
        Spectrum, and 50 or 60 or None. [any], [Hz]
    """
    if width > WIDEST:
        return spectrum, None
    for mains in MAINS:
        found = [at for at in _bins(spectrum, mains, HUMMED, width) if _clear(spectrum, at)]
        others = _bins(spectrum, mains, NOT_HUMMED, width)
        if len(found) < 2 or sum(_clear(spectrum, at) for at in others) > 1:
            continue
        clean = spectrum.copy()
        for at in found:
            inside = slice(at - REACH, at + REACH + 1)
            clean[inside] *= np.minimum(1, _around(spectrum, at) / (np.abs(spectrum[inside]) + 1e-30))
        return clean, mains
    return spectrum, None


def mains_heard(spectrum: Any, width: float) -> float | None:
    """Mains of which two narrow lines or more stand in a spectrum of so wide bins, taken out or not; else None. [Hz]"""
    if width > WIDEST:
        return None
    seen = {
        mains: sum(_clear(spectrum, at) for at in _bins(spectrum, mains, SPREAD, width)) for mains in MAINS
    }
    most = max(seen, key=lambda mains: seen[mains])
    return most if seen[most] > 1 else None


def in_step_with_mains(rev_s: float) -> bool:
    """Whether a speed is that of the mains, or half or twice it, as of a hum that swells. [rev/s]"""
    return min(abs(mains * times / rev_s - 1) for mains in MAINS for times in (0.5, 1, 2)) < ON_MAINS


def _bins(spectrum: Any, mains: float, multiples: Iterable[int], width: float) -> list[int]:
    """Bins of multiples of the mains, as far as there is enough of the spectrum on either side."""
    places = (round(mains * n / width) for n in multiples)
    return [at for at in places if at + 40 < len(spectrum)]


def _around(spectrum: Any, at: Any) -> Any:
    """Usual amplitude beside a bin."""
    sides = np.concatenate([spectrum[at - 30 : at - 5], spectrum[at + 6 : at + 31]])
    return median(np.abs(sides)) + 1e-30


def _clear(spectrum: Any, at: Any) -> Any:
    """Whether a narrow line stands at that bin: loud there, quiet next to it."""
    if at < 35:
        return False
    here = float(np.max(np.abs(spectrum[at - 1 : at + 2])))
    beside = median(np.abs(np.concatenate([spectrum[at - 8 : at - 3], spectrum[at + 4 : at + 9]])))
    return here > np.sqrt(CLEAR) * beside and here > np.sqrt(CLEAR) * _around(spectrum, at)
