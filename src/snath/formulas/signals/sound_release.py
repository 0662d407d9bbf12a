"""Find the moment the firing stopped.

While the engine fires, cycle after cycle brings the same wave; from the release on that wave is gone. Learned from
the cycles before, and followed through their unevenness, it shows to within a firing when the last one came
(docs/sound.md, equation 15).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.fft import irfft, rfft

from snath.formulas.signals.sound_angle import clock_of, unrolled
from snath.formulas.signals.sound_wave import LEAST, wave_of

BACK, AHEAD = 0.3, 0.5  # how far before and after the moment it was noticed the release may lie [s]
LEARNT = 1.3  # length of sound before that from which the wave is learned [s]
SURELY = 0.1  # nearer than this to the moment it was noticed nothing is learned [s]
POINTS, LINES = 64, 20  # of the wave; higher lines are smeared by uneven cycles
LEFT = 0.6  # most of the wave that may still be heard after the release, as of a loud blade's tone
LATER, LATER_SPREAD = 0.05, 0.1  # by how much it is noticed too early, found on simulated clips [s]
ALIKE = 2.0  # neighbouring samples of noise are not independent
VAGUE = 0.05  # u of a moment that is not worth having [s]
RINGS = 0.2  # of the distance of two firings, by which a last one rings on; found on simulated clips


@dataclass(frozen=True, slots=True)
class Release:
    """A moment and its standard uncertainty. [s], [s]"""

    moment: float
    u: float


def released_at(
    quiet: Any,
    rate: float,
    t: Any,
    pace: Any,
    noticed: float,
    *,
    firings: int = 1,
    blade_lines: Sequence[int] = (),
) -> Release | None:
    """The moment of release, or None where the wave of the firings is too weak to tell.

    Parameters
    ----------
    quiet : ndarray, shape (n,)
        Sound. [any]
    rate : float
        Its rate. [1/s]
    t, pace : ndarray, shape (frames,)
        Cycles per second while it ran. [s], [1/s]
    noticed : float
        About when it stopped. [s]
    firings : int
        In a cycle. [1]
    blade_lines : sequence of int
        Lines of the cycle that a blade makes, which do not end with the firing. [1]

    Returns
    -------
    Release or None
        The moment.
    """
    begin, stop = max(float(t[0]), noticed - BACK - LEARNT), min(noticed + AHEAD, len(quiet) / rate - 0.01)
    last = float(np.median(pace[-5:]))
    after = max(stop, float(t[-1])) + np.array([0.1, 0.2])
    times, paces = np.append(t, after), np.append(pace, (last, last))
    clock = clock_of(times, paces, begin, stop)
    cycles = unrolled(quiet, rate, clock, POINTS)
    when = clock.when(np.arange(len(cycles) + 1))
    known = when[1:] < noticed - SURELY
    if known.sum() < LEAST or len(cycles) < 2 * LEAST:
        return None
    lines = rfft(cycles, axis=1)[:, : LINES + 1]
    lines[:, [0, *(line for line in blade_lines if line <= LINES)]] = 0
    there, wave = _whitened(lines, known)
    if not wave.any():
        return None
    moments = clock.when((np.arange(there.size) + 0.5) / POINTS) - RINGS / (last * firings)
    belief = _belief(there, wave, known) * np.exp(-0.5 * ((moments - noticed - LATER) / LATER_SPREAD) ** 2)
    belief[moments < noticed - BACK] = 0
    belief /= belief.sum() + 1e-300
    moment = float(belief @ moments)
    u = float(np.sqrt(belief @ (moments - moment) ** 2))
    return Release(moment, u) if moment > 0 and u < VAGUE else None


def _whitened(lines: Any, known: Any) -> Any:
    """Sound, each cycle moved to where the wave fits, and the wave, both over the noise of their lines."""
    met = wave_of(lines, known)
    wave = np.where(np.abs(met.lines) ** 2 * met.learnt > 2 * met.noise, met.lines, 0)
    white = 1 / np.sqrt(met.noise)
    return irfft(met.moved * white * (wave != 0), POINTS, axis=1), irfft(wave * white, POINTS)


def _belief(there: Any, wave: Any, known: Any) -> Any:
    """Belief that the wave stopped after each sample, up to a factor: until then wave and noise, then less of both."""
    tail = there[-max(len(there) // 8, 2) :]
    left = float(np.clip(np.mean(tail @ wave) / (wave @ wave), 0, LEFT))
    noise = float(np.mean((there[known] - wave) ** 2)) + 1e-30
    rest = min(float(np.mean((tail - left * wave) ** 2)) + 1e-30, noise)
    running = (there - wave) ** 2 / noise + np.log(noise)
    stopped = (there - left * wave) ** 2 / rest + np.log(rest)
    cost = np.cumsum((running - stopped).ravel()) / 2
    return np.exp((cost.min() - cost) / ALIKE)
