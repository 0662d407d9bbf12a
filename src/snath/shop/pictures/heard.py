"""Draw what of a sound stands out, by time and pitch, and how much of it lies along a comb."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import median_filter
from scipy.signal import spectrogram

from snath.shop.pictures.combs import Comb

COLUMNS = 56  # cells of one panel along its time
TOP_HZ = 420.0  # most of an engine's lines lie under it, and a reader can still tell them apart
NEAR_HZ = 60.0  # pitches about a cell that make its floor
LINES = 10  # orders drawn at most
HEARD_DB = 6.0  # a line this far over the floor counts as heard


@dataclass(frozen=True, slots=True)
class Heard:
    """The sound by time and pitch, over the floor of its neighbourhood.

    Attributes
    ----------
    t_s, frequency : ndarray
        [s], [Hz]
    over_floor : ndarray
        Frequency by time. [dB]
    """

    t_s: NDArray[np.float64]
    frequency: NDArray[np.float64]
    over_floor: NDArray[np.float64]


def share_heard(heard: Heard, comb: Comb) -> float:
    """Share of a comb's lines, over time, along which the sound stands out."""
    found = []
    for order in orders_of(comb):
        line = np.interp(heard.t_s, comb.t_s, comb.rev_s) * order
        row = np.rint(np.interp(line, heard.frequency, np.arange(len(heard.frequency)))).astype(int)
        near = [np.clip(row + step, 0, len(heard.frequency) - 1) for step in (-1, 0, 1)]
        level = np.max([heard.over_floor[n, np.arange(len(row))] for n in near], axis=0)
        found.append(float(np.mean(level[line < TOP_HZ] > HEARD_DB)) if (line < TOP_HZ).any() else 0.0)
    return float(np.mean(found)) if found else 0.0


def heard_in(samples: NDArray[np.float32], rate: float, *, begin_s: float = 0.0) -> Heard:
    """The sound under `TOP_HZ`, over the floor of its neighbourhood, its times counted on from `begin_s`. [dB], [s]"""
    step = max(int(rate / (4 * TOP_HZ)), 1)
    whole = samples[: len(samples) // step * step].reshape(-1, step).mean(axis=1)
    slow = rate / step
    window = min(int(0.3 * slow), max(len(whole) // 4, 8))
    hop = max((len(whole) - window) // (COLUMNS - 1), 1) if len(whole) > window else 1
    frequency, t, power = spectrogram(
        whole, slow, nperseg=window, noverlap=max(window - hop, 0), nfft=4 * window
    )
    level = 10 * np.log10(power + 1e-20)
    wanted = frequency <= TOP_HZ
    level = level[wanted]
    near = max(int(NEAR_HZ / (frequency[1] - frequency[0])), 3)
    floor = median_filter(level, size=(near, 1), mode="nearest")
    return Heard(t + begin_s, frequency[wanted], level - floor)


def orders_of(comb: Comb) -> list[float]:
    """Orders of a comb that lie low enough to be drawn."""
    top = TOP_HZ / max(max(comb.rev_s), 1e-9)
    return [comb.spacing * k for k in range(1, LINES + 1) if comb.spacing * k <= top]
