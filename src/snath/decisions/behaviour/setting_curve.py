"""Fit speed over setting through the settings that were tried, with its uncertainty.

A governor balances spring force against speed squared, so speed over turns is nearly a parabola's branch; a bent
link, play and friction change that. So the curve is straight in some power of the speed, n^q, and what comes out
at a setting scatters about it, as settings do not repeat. Neither q nor the scatter is known: a line is laid through
the readings for each pair of a grid, and counts for what they say for it (Bayes' rule, flat in level and slope).
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import scipy

from snath.decisions.behaviour.setting_input import SettingInput

POWERS = np.arange(-1.5, 5.0)  # centred between straight in n and in n^2
LIKELY = np.array([1, 6, 15, 20, 15, 6, 1]) / 64  # of each beforehand: they scatter by 1.2 about the centre
SCATTERS = 0.003 * 2.0 ** np.arange(9)  # turns or notches by which a setting does not repeat, one sigma
RARER = {
    "turns": 0.5,
    "notches": 0.3,
    "spring holes": 0.5,
}  # beforehand, each than the one half as wide; holes are drilled unevenly
LEAST = 1e-6  # rev/s: readings without any doubt still divide
HALVINGS = 40


@dataclass(frozen=True)
class Curves:
    """Every curve that the settings tried allow, each with its weight; two places at least are needed."""

    given: SettingInput

    @cached_property
    def steep(self) -> float:
        """Speed for one step of the setting, by the two farthest apart, their doubt added. [rev/s]"""
        ordered = sorted(self.given.points, key=lambda point: point.position)
        low, high = ordered[0], ordered[-1]
        apart = np.hypot(high.speed.value - low.speed.value, np.hypot(high.speed.u, low.speed.u))
        return float(apart / (high.position - low.position)) + LEAST

    @cached_property
    def _laid(self) -> tuple[np.ndarray, ...]:
        """Weight, line, its covariance, scatter and power: a row for every power and scatter."""
        points, about = self.given.points, self.given.target
        place = np.array([point.position for point in points])
        read, u = np.array([(point.speed.value, point.speed.u) for point in points]).T
        power, scatter = (a.ravel() for a in np.meshgrid(POWERS, SCATTERS * self.steep, indexing="ij"))
        seen = about * _bent(read / about, power[:, None])
        weight = 1 / (u**2 + scatter[:, None] ** 2)
        rows = np.stack((np.ones_like(place), place - place[-1]), axis=-1)
        normal = np.einsum("mp,pi,pj->mij", weight, rows, rows)
        spread = np.linalg.inv(normal)
        line = np.einsum("mij,mp,pj->mi", spread, weight * seen, rows)
        told = np.log(np.outer(LIKELY, RARER[self.given.kind] ** np.arange(len(SCATTERS)))).ravel()
        told += (np.log(weight) - weight * (seen - line @ rows.T) ** 2).sum(axis=1) / 2
        told -= np.linalg.slogdet(normal)[1] / 2
        told += (power - 1) * np.log(read / about).sum()  # a density of n, not of n^q
        share = np.exp(told - told.max())
        return share / share.sum(), line, spread, scatter, power

    @cached_property
    def rises(self) -> float:
        """Chance that a higher setting is a higher speed. [0 to 1]"""
        share, line, spread, *_ = self._laid
        return float(share @ scipy.special.ndtr(line[:, 1] / np.sqrt(spread[:, 1, 1])))

    @cached_property
    def scatter(self) -> float:
        """Standard deviation by which the speed does not come back at one setting. [rev/s]"""
        share, _, _, scatter, _ = self._laid
        return float(np.sqrt(share @ scatter**2))

    def under(self, position: float, speed: float, u: float = 0.0) -> float:
        """Chance that it comes out under a speed [rev/s] there, or is read so with `u` [rev/s]. [0 to 1]"""
        share, line, spread, scatter, power = self._laid
        row = np.array([1.0, position - self.given.points[-1].position])
        variance = np.einsum("mij,i,j->m", spread, row, row) + scatter**2 + u**2
        edge = self.given.target * _bent(speed / self.given.target, power)
        return float(share @ scipy.special.ndtr((edge - line @ row) / np.sqrt(variance)))

    def stays_under(self, position: float, chance: float) -> float:
        """Speed it stays under there with a chance. [rev/s]"""
        low, high = 0.0, 4 * self.given.ceiling
        for _ in range(HALVINGS):
            middle = (low + high) / 2
            low, high = (middle, high) if self.under(position, middle) < chance else (low, middle)
        return high


def _bent(ratio: np.ndarray | float, power: np.ndarray) -> np.ndarray:
    """(r^q - 1) / q: r - 1 near 1, whatever the power."""
    bent: np.ndarray = np.expm1(power * np.log(np.maximum(ratio, 1e-9))) / power
    return bent
