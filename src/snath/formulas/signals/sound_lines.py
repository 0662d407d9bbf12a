"""Measure the lines of the unrolled sound block by block, and how far each may be trusted."""

import math
from typing import Any

import numpy as np
from scipy.fft import next_fast_len

from snath.formulas.signals.candidates import Driven
from snath.formulas.signals.sound_angle import lines_by_block, noise_by_line
from snath.formulas.signals.sound_blade import TONES, loudest_ratio, sharpened, without_tones
from snath.formulas.signals.sound_evidence import order_spectrum

TOP_FREQUENCY = 3000.0  # [Hz]
HEARD = 3.0  # evidence from which a driven part is taken out [nat]
NEAR = 0.3  # lines nearer a tone than this are not trusted


def tones_heard(cycles: Any, top: Any, turns: Any, driven: Any) -> tuple[float, ...]:
    """Where a driven part is heard, in lines of the cycle; or else all lines it may fall on."""
    spectrum = order_spectrum(cycles, top)
    ratio, gain = loudest_ratio(spectrum, turns, driven)
    if ratio is None or gain < HEARD:
        return ()
    tips = driven[0].tips
    sharp = sharpened(spectrum, turns, ratio, tips)
    ratio = ratio if sharp is None else sharp[0]
    return tuple(float(ratio * turns * tone) for tone in (1, *(tips * TONES)))


def lines_of_driven(driven: tuple[Driven, ...], turns: int) -> set[int]:
    """Lines of the cycle that the tones of what the engine drives may fall on, all over the range of its ratio."""
    spans = [
        (tone * turns * part.ratio_low - NEAR, tone * turns * part.ratio_high + NEAR)
        for part in driven
        for tone in (1, *(part.tips * TONES))
    ]
    return {line for low, high in spans for line in range(math.ceil(low), math.floor(high) + 1)}


def _beside(tones: Any) -> set[int]:
    """Lines too near a tone to be told from it."""
    return {round(place) for place in tones if abs(place - round(place)) < NEAR}


def lines_trusted(cycles: Any, tones: Any, per_block: Any, top: Any) -> Any:
    """Lines by block, noise of a sample beside each, and the trust a line deserves over its power."""
    left = without_tones(cycles, tones) if tones else cycles
    lines = lines_by_block(left, per_block, top)
    noise = noise_by_line(left, top)
    power = (lines.real**2 + lines.imag**2).mean(axis=0) + 1e-30
    clear = np.maximum(power / noise * (per_block * cycles.shape[1]) - 1, 0)
    clear[[line - 1 for line in _beside(tones) if 0 < line <= top]] *= 0.01
    return lines, noise, clear * np.minimum(clear, 5.0) / (1 + clear) / power


def top_line(wanted: Any, pace: Any, rate: Any) -> Any:
    """Highest line used: as wanted, as far as it lies under `TOP_FREQUENCY` and half the rate."""
    return max(3, min(wanted, int(min(TOP_FREQUENCY, 0.44 * rate) / pace)))


def reach_of(change: Any, per_block: Any) -> Any:
    """Largest phase step looked for between blocks. [cycle]"""
    return min(0.06, change * per_block)


def points_of(top: Any) -> Any:
    """Samples per cycle that hold so many lines and a little more."""
    return next_fast_len(int(2.3 * top) + 8, real=True)


def middles(clock: Any, blocks: Any, per_block: Any) -> Any:
    """Times in the middle of the blocks."""
    edges = clock.when(np.arange(blocks + 1) * per_block)
    return (edges[1:] + edges[:-1]) / 2
