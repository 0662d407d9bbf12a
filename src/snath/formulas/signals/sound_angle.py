"""Unroll the sound on a clock that runs with the engine's working cycle.

On such a clock every line of the engine stands still at a whole number, whatever the speed does
(docs/sound.md, equation 5).
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.fft import rfft
from scipy.interpolate import splev, splrep

from snath.formulas.signals.ranks import median_of_rows, running_median
from snath.formulas.signals.spectra import hann

SMOOTH = 2  # samples whose mean is smooth enough for straight lines
GRID = 0.004  # spacing on which a track is integrated to an angle [s]


@dataclass(frozen=True, slots=True)
class Clock:
    """Angle of the working cycle over time, both rising. [s], [cycle]"""

    t: NDArray[np.float64]
    angle: NDArray[np.float64]

    def hurried(self, t: Any, extra: Any) -> "Clock":
        """The clock with so many more cycles per second at those times."""
        pace = np.interp(self.t, t, extra)
        gain = np.concatenate([[0.0], np.cumsum((pace[1:] + pace[:-1]) / 2 * np.diff(self.t))])
        return Clock(self.t, self.angle + gain)

    def ahead(self, t: Any, extra: Any) -> "Clock":
        """The clock further on by such angles at those times, less the first of them."""
        return Clock(self.t, self.angle + np.interp(self.t, t, extra - extra[0]))

    def at(self, t: Any) -> Any:
        """Angle at these times. [cycle]"""
        return np.interp(t, self.t, self.angle)

    def when(self, angle: Any) -> Any:
        """Times at which these angles are passed. [s]"""
        return np.interp(angle, self.angle, self.t)


def clock_of(t: Any, pace: Any, start: Any, end: Any) -> Clock:
    """Clock between two times from cycles per second on a track."""
    grid = np.linspace(start, end, max(int((end - start) / GRID), 8))
    inside = np.clip(grid, t[0], t[-1])
    smooth = splev(inside, splrep(t, pace)) if len(t) > 3 else np.interp(inside, t, pace)
    smooth = np.maximum(smooth, 0.2 * np.min(pace))
    step = (smooth[1:] + smooth[:-1]) / 2 * np.diff(grid)
    return Clock(grid, np.concatenate([[0.0], np.cumsum(step)]))


def unrolled(x: Any, rate: float, clock: Clock, points: int) -> Any:
    """The sound at evenly spaced angles, less what would fold at so few samples a second.

    Parameters
    ----------
    x : ndarray, shape (n,)
        Sound. [any]
    rate : float
        Samples per second. [1/s]
    clock : Clock
        Angle over time.
    points : int
        Samples wanted per cycle. [1]

    Returns
    -------
    ndarray, shape (cycles, points)
        Whole cycles only, by cubic interpolation, or by straight lines between means over several samples. [any]
    """
    count = int(clock.angle[-1])
    place = np.interp(np.arange(float(count * points)), clock.angle * points, clock.t * rate)
    width = round(float(np.ptp(clock.t)) * rate / (points * float(clock.angle[-1])))
    if width > 1:
        first, last = max(int(clock.t[0] * rate) - width, 0), int(clock.t[-1] * rate) + width + 2
        x, place = _moving_mean(x[first:last], width), place - first
    before = place.astype(np.intp) - 1
    np.clip(before, 0, len(x) - 4, out=before)
    place -= before
    f = place.astype(np.float32) - 1
    if width > SMOOTH:
        low, high = (x[off:].take(before, mode="clip") for off in (1, 2))
        return (low + f * (high - low)).reshape(count, points)
    a, b, c, d = (x[off:].take(before, mode="clip") for off in range(4))
    rise, ahead = c - b, d - a
    cubic = b + 0.5 * f * ((c - a) + f * (2 * (a - b) + 4 * rise - (d - b) + f * (ahead - 3 * rise)))
    return cubic.reshape(count, points)


def _moving_mean(x: Any, width: int) -> Any:
    """Mean of `width` samples around each, the first and the last one repeated at the ends."""
    before = width // 2
    x = np.concatenate((np.full(before, x[0]), x, np.full(width - 1 - before, x[-1])))
    total, summed = x, 1
    for digit in f"{width:b}"[1:]:  # sums of twice as many, and of one more, until there are `width`
        total, summed = total[:-summed] + total[summed:], 2 * summed
        if digit == "1":
            total, summed = total[:-1] + x[summed:], summed + 1
    return total / np.float32(width)


def lines_by_block(cycles: Any, per_block: Any, top: Any) -> Any:
    """Complex amplitude of the lines 1 to `top` in blocks of whole cycles, shape (blocks, top)."""
    blocks = len(cycles) // per_block
    whole = cycles[: blocks * per_block].reshape(blocks, per_block, -1)
    total = whole[:, 0] if per_block == 1 else whole.sum(axis=1)
    return rfft(total, axis=1)[:, 1 : top + 1] / np.float32(per_block * cycles.shape[1])


def noise_by_line(cycles: Any, top: Any, span: Any = 4) -> Any:
    """Noise variance of one sample as seen beside each line, from half-way between lines, shape (top,)."""
    count, points = cycles.shape
    span = max(1, min(span, count - count % 2))  # of a lone cycle the lines themselves pass for noise
    blocks = cycles[: count // span * span].reshape(-1, span * points)
    spectrum = rfft(blocks * hann(span * points), axis=1)
    between = spectrum[:, span // 2 :: span][:, :top]
    power = median_of_rows(between.real**2 + between.imag**2) / np.log(2)
    return running_median(power, 7) / (0.375 * span * points) + 1e-30
