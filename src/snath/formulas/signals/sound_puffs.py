"""Find where after a release compression may have puffed through the pipe.

What one firing makes at the microphone was learned while the engine ran; a puff makes the same, far weaker. The
sound held against it, moment for moment, shows puffs that no single frame shows (docs/sound.md, equation 17).
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.fft import irfft, next_fast_len, rfft

from snath.formulas.signals.sound_angle import clock_of, unrolled
from snath.formulas.signals.sound_blade import TONES
from snath.formulas.signals.sound_plan import Plan
from snath.formulas.signals.sound_wave import LEAST, Wave, wave_of

LEARNT = 2.0  # length of sound before the release from which the answer is learned [s]
HIGHEST = 1400.0  # lines above are smeared by uneven cycles [Hz]
LINES = 110  # most lines used
CLEAR = 0.02  # s before the release that is not learned from
POINTS = 1024  # of a cycle, on which the answer is unfolded
WEAK = 0.1  # share of the strongest line's power that keeps one which firings cancel from being blown up
CANCELLED = 0.02  # the same under which a line says nothing
QUIET = 3  # the quietest of so many parts of a period ends where the answer begins
LOUD = 8  # the loudest of so many parts is in it, where firings are uneven: weaker copies lie beside it then
BEGUN, AHEAD = 0.01, 0.0005  # share of its energy by which it has begun, and how long before that it does [s]
BLADE_TONES = 3  # of a direct blade, left out of the answer: they do not end with the firing
LOWEST = 30.0  # Hz


@dataclass(frozen=True, slots=True)
class Puffs:
    """How well the answer fits the sound.

    Attributes
    ----------
    begin, rate : float
        Time of the first moment [s] and moments per second. [1/s]
    match : ndarray, shape (moments,)
        Sum of sound times answer over noise. [1]
    full : float
        What a firing of full strength alone would give there, and the variance of noise alone. [1]
    expected : float
        When one of the last cycles before the release began. [s]
    lag : float
        From there to where the answer of its first firing begins. [s]
    """

    begin: float
    rate: float
    match: NDArray[np.float64]
    full: float
    expected: float
    lag: float


def puffs_after(
    quiet: Any, rate: float, t: Any, speed: Any, released: float, plan: Plan, noise: Any, width: float
) -> Puffs | None:
    """The match of the sound after a release, or None where too few cycles came before.

    Parameters
    ----------
    quiet : ndarray, shape (n,)
        Sound. [any]
    rate : float
        Its rate. [1/s]
    t, speed : ndarray, shape (frames,)
        Course before the release. [s], [rev/s]
    released : float
        When. [s]
    plan : Plan
        Firings, and blades on the crankshaft.
    noise : ndarray, shape (bins,)
        Noise of a sample, by frequency, after the release. [any]
    width : float
        Spacing of those frequencies. [Hz]

    Returns
    -------
    Puffs or None
        For every sample after the release.
    """
    pace = speed / plan.turns
    usual, last = float(np.median(pace)), float(np.median(pace[-5:]))
    stop = released - CLEAR
    begin = max(float(t[0]), released - LEARNT)
    if (stop - begin) * usual < LEAST + 1:
        return None
    count = max(3, min(int(min(HIGHEST, width * (len(noise) - 3)) / usual), LINES))
    ran = t < stop  # frames after it may have been counted as running: the moment is known better by now
    clock = clock_of(np.append(t[ran], stop + 0.2), np.append(pace[ran], last), begin, stop)
    cycles = unrolled(quiet, rate, clock, next_fast_len(int(2.4 * count) + 8, real=True))
    if len(cycles) < LEAST:
        return None
    lines = rfft(cycles, axis=1)[:, : count + 1] / cycles.shape[1]
    lines[:, 0] = 0
    wave = wave_of(lines, np.ones(len(cycles), dtype=bool))
    late = np.unwrap(wave.late, period=1)
    starts = clock.when(np.arange(len(cycles)) + late - np.round(late.mean()))
    answer, lag = _answer(wave, usual, plan, rate)
    match, full = _matched(quiet[int(released * rate) :], answer, rate, noise, width)
    expected = float(starts[-3:].mean()) + 1 / usual
    return Puffs(int(released * rate) / rate, rate, match, full, expected, lag) if full > 0 else None


def _answer(wave: Wave, pace: Any, plan: Plan, rate: Any) -> Any:
    """What one firing makes, at so many samples a second, and when it begins in the cycle. [any], [s]"""
    power = np.abs(wave.lines) ** 2 + 1e-30
    order = np.arange(len(power))
    lines = wave.lines * np.maximum(1 - wave.noise / wave.learnt / power, 0)
    for part in plan.direct:
        tones = np.rint(part.ratio_low * plan.turns * part.tips * TONES[:BLADE_TONES]).astype(int)
        lines[tones[tones < len(lines)]] = 0
    firings = np.exp(-2j * np.pi * np.outer(order, plan.firings)).sum(axis=1)
    share = np.abs(firings) ** 2
    lines = np.where(
        share > CANCELLED * share.max(), lines * firings.conj() / (share + WEAK * share.max()), 0
    )
    alike = len(plan.firings)
    even = np.allclose(np.diff(plan.firings), 1 / alike) if alike > 1 else True
    period = POINTS // alike if even else POINTS
    whole = irfft(lines, POINTS) * POINTS
    begins = _begins(whole[:period] ** 2, even) - int(AHEAD * pace * POINTS)
    answer = np.roll(whole, -begins)[:period]
    samples = np.arange(int(period / POINTS / pace * rate)) / rate
    lag = ((begins + period / 2) % period - period / 2) / POINTS / pace
    return np.interp(samples, np.arange(period) / POINTS / pace, answer), lag


def _begins(energy: Any, even: Any) -> int:
    """Where in a period the answer begins: after the quietest part or, among weaker copies, before the loudest."""
    period, twice = len(energy), np.tile(energy, 2)
    part = period // (QUIET if even else LOUD)
    within = np.convolve(twice, np.ones(part), "valid")[:period]
    begins, reach = (
        (int(within.argmin()) + part, period) if even else (int(within.argmax()) - part // 2, period // 2)
    )
    grown = np.cumsum(np.roll(energy, -begins)[:reach])
    return begins + int(np.searchsorted(grown, BEGUN * grown[-1]))


def _matched(sound: Any, answer: Any, rate: Any, noise: Any, width: Any) -> Any:
    """Sound times answer over noise at every sample, and what the answer itself gives."""
    size = next_fast_len(len(sound) + len(answer) + 8, real=True)
    heard, wanted = rfft(sound, size), rfft(answer, size)
    frequency = np.arange(len(heard)) * (rate / size)
    inside = (frequency > LOWEST) & (frequency < min(width * (len(noise) - 3), HIGHEST))
    over = np.where(inside, 1 / np.interp(frequency, np.arange(len(noise)) * width, noise), 0)
    match = irfft(heard * wanted.conj() * over, size)[: len(sound)]
    full = float(irfft(np.abs(wanted) ** 2 * over, size)[0])
    return match, full
