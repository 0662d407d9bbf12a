"""Estimate the wave that every cycle of a firing engine brings, and where in the cycle it lies.

Cycles are uneven, and a wave averaged over them as they come is smeared: they are moved against each other
until they agree (docs/sound.md, section 3, release).
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

PLACES = 128  # places in a cycle at which it may be found
UNEVEN = 0.006  # of a cycle's length, from one to the next, as a share
ROUNDS = 3
LEAST = 4  # cycles from which a wave is learned


@dataclass(frozen=True, slots=True)
class Wave:
    """The wave and the cycles it was met in.

    Attributes
    ----------
    lines : ndarray of complex, shape (lines + 1,)
        Its amplitudes, from line 0 up. [any]
    noise : ndarray, shape (lines + 1,)
        Power of what one cycle has beside it. [any]
    late : ndarray, shape (cycles,)
        How far into each cycle it lies, 0 to 1. [cycle]
    moved : ndarray of complex, shape (cycles, lines + 1)
        The cycles, each moved to where it fits. [any]
    learnt : int
        Cycles it is the mean of.
    """

    lines: NDArray[np.complex128]
    noise: NDArray[np.float64]
    late: NDArray[np.float64]
    moved: NDArray[np.complex128]
    learnt: int


def wave_of(lines: Any, known: Any) -> Wave:
    """The common wave of some cycles, and where it fits in all.

    Parameters
    ----------
    lines : ndarray of complex, shape (cycles, lines + 1)
        Fourier lines of each cycle. [any]
    known : ndarray of bool, shape (cycles,)
        Which to learn from, at least one.

    Returns
    -------
    Wave
        What they have in common.
    """
    order = np.arange(lines.shape[1])
    moved, late = lines, np.zeros(len(lines))
    learn = np.flatnonzero(known)
    learn_first = learn[-max(LEAST - 1, len(learn) // 4) :]
    for round_ in range(ROUNDS + 1):
        wave = moved[learn if round_ else learn_first].mean(axis=0)
        off = np.abs(moved[learn] - wave)
        noise = (off * off).mean(axis=0) + 1e-12 * float(np.abs(moved).max()) + 1e-30
        if round_ == ROUNDS:
            break
        fit = 2 * np.real(np.fft.fft((lines * (wave.conj() / noise)).conj(), PLACES, axis=1))
        late = _course(fit) / PLACES
        moved = lines * np.exp(2j * np.pi * late[:, None] * order)
    return Wave(wave, noise, late, moved, len(learn))


def _course(fit: NDArray[np.float64]) -> NDArray[np.int64]:
    """Likeliest place of the wave in each cycle, by dynamic programming: places next to each other differ little."""
    steps = np.arange(-3, 4)
    loss = 0.5 * (steps / PLACES / UNEVEN) ** 2
    came = (np.arange(PLACES) - steps[:, None]) % PLACES
    reached = fit[0]
    best = np.empty(fit.shape, dtype=np.int64)
    for i in range(1, len(fit)):
        ways = reached[came] - loss[:, None]
        best[i] = ways.argmax(axis=0)
        reached = ways.max(axis=0) + fit[i]
    place = np.empty(len(fit), dtype=np.int64)
    place[-1] = reached.argmax()
    for i in range(len(fit) - 1, 0, -1):
        place[i - 1] = came[best[i, place[i]], place[i]]
    return place
