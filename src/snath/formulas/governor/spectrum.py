"""Measure how strongly a speed track swings at each rate, by least squares, its slow trend taken out.

Works on uneven times and across gaps, where a Fourier transform does not.
"""

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

AT_ONCE = 2_000_000  # points times rates worked on together: 16 MB for each of a handful of arrays
TREND = 3  # constant, slope and bend: warming up and settling are no swing
WINDOW = 2  # cycles over which the phase is felt: fewer drown in noise, more lose a wandering swing


@dataclass(frozen=True)
class Swings:
    """A track of speed about its slow trend, asked how it swings.

    Attributes
    ----------
    t : ndarray [shape=(n,)]
        Times, rising. [s]
    values : ndarray [shape=(n,)]
        Speeds. [rev/s]
    """

    t: np.ndarray
    values: np.ndarray

    @cached_property
    def since(self) -> np.ndarray:
        """Times from the first. [s]"""
        since: np.ndarray = self.t - self.t[0]
        return since

    @cached_property
    def basis(self) -> np.ndarray:
        """What the trend is made of: three courses at right angles to each other. [1]"""
        orthogonal: np.ndarray = np.linalg.qr(np.vander(self.since / self.since[-1] - 0.5, TREND))[0]
        return orthogonal

    @cached_property
    def left(self) -> np.ndarray:
        """Speeds less their least-squares parabola in time. [rev/s]"""
        return self._beside(self.values)

    def _beside(self, columns: np.ndarray) -> np.ndarray:
        """Courses less what the trend can make of them."""
        rest: np.ndarray = columns - self.basis @ (self.basis.T @ columns)
        return rest

    def power(self, rates: np.ndarray) -> np.ndarray:
        """Sum of squares that a sine of each rate [Hz] explains beside the trend. [(rev/s)^2]"""
        parts = np.array_split(rates, math.ceil(self.t.size * rates.size / AT_ONCE))
        return np.concatenate([self._explained(part) for part in parts])

    def _explained(self, rates: np.ndarray) -> np.ndarray:
        """`power` of so few rates that all their waves fit in memory."""
        angle = 2 * np.pi * np.outer(self.since, rates)
        cosine, sine = self._beside(np.cos(angle)), self._beside(np.sin(angle))
        cc, ss, cs = (cosine**2).sum(0), (sine**2).sum(0), (cosine * sine).sum(0)
        c, s = cosine.T @ self.left, sine.T @ self.left
        explained: np.ndarray = (ss * c**2 - 2 * cs * c * s + cc * s**2) / (cc * ss - cs**2)
        return explained

    def without(self, rate: float) -> "Swings":
        """The track less its trend and the sine of that rate [Hz] that explains most of it."""
        waves = self._beside(_sines(2 * np.pi * rate * self.since, 1))
        return Swings(self.t, self.left - waves @ np.linalg.lstsq(waves, self.left, rcond=None)[0])

    def phase(self, rate: float) -> tuple[np.ndarray, float, float]:
        """Phase of the swing at every moment, followed about a rate [Hz] through windows of two cycles.

        Returns
        -------
        tuple of (ndarray [shape=(n,)], float, float)
            Phase, straight on beyond the first and last window [rad]; mean rate [Hz]; how far the phase
            strays from an even run, standard deviation. [rad]
        """
        middles, weight = self._windows(rate, WINDOW / rate, 4)
        local = np.unwrap(np.angle(weight @ self._turned(rate)))
        strays = local - np.polyval(np.polyfit(middles, local, 1), middles)
        mean_rate = rate + (local[-1] - local[0]) / (2 * np.pi * (middles[-1] - middles[0]))
        whole = 2 * np.pi * rate * self.since + np.interp(self.t, middles, local)
        return whole, float(mean_rate), float(strays.std())

    def felt(self, rate: float) -> np.ndarray:
        """The swing at a rate [Hz], felt through windows of two cycles one after the other.

        Returns
        -------
        ndarray of complex [shape=(m,)]
            At least two, half a cycle apart: half swing [rev/s] and phase against that rate.
        """
        _, weight = self._windows(rate, min(WINDOW / rate, self.since[-1]), 2)
        held = weight.sum(axis=1)
        weight = weight[
            held >= np.median(held) / 2
        ]  # a window that falls into a gap of the track says little
        felt: np.ndarray = 2 * (weight @ self._turned(rate)) / weight.sum(axis=1)
        return felt

    def _windows(self, rate: float, length: float, each: int) -> tuple[np.ndarray, np.ndarray]:
        """Middles [s] of windows, so many in a cycle, at least two; and how much each point counts in each."""
        half, end = length / 2, self.since[-1]
        count = max(2, int(each * rate * (end - 2 * half)) + 1)
        middles = self.t[0] + np.linspace(half, end - half, count)
        return middles, np.maximum(0.0, 1 - ((self.t - middles[:, None]) / half) ** 2)

    def _turned(self, rate: float) -> np.ndarray:
        """What is left, turned back by a rate: what swings at it stands still. [rev/s]"""
        turned: np.ndarray = self.left * np.exp(-2j * np.pi * rate * self.since)
        return turned

    def wave(self, phase: np.ndarray, harmonics: int) -> tuple[np.ndarray, float]:
        """One cycle of the swing as fitted by so many sines over a phase [rad] beside the trend.

        Returns
        -------
        tuple of (ndarray, float)
            One cycle at 200 places [rev/s], and the standard deviation of what is left. [rev/s]
        """
        columns = self._beside(_sines(phase, harmonics))
        weights, *_ = np.linalg.lstsq(columns, self.left, rcond=None)
        rest = self.left - columns @ weights
        freedom = max(1, self.t.size - TREND - 2 * harmonics)
        cycle = _sines(np.linspace(0, 2 * np.pi, 200, endpoint=False), harmonics) @ weights
        return cycle, float(np.sqrt((rest**2).sum() / freedom))


def _sines(phase: Any, harmonics: Any) -> Any:
    angle = np.outer(phase, np.arange(1, harmonics + 1))
    return np.hstack([np.cos(angle), np.sin(angle)])
