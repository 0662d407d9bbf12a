"""What speed goes with a setting that was not tried, from two that were, and the other way round?

The governor balances spring force against speed squared, so speed over turns is nearly a parabola's branch.
It is read twice, straight in speed and straight in its square: two alternatives, the faster of which counts
against a ceiling.
"""

import math
from dataclasses import dataclass

from snath.quantities.measured import Measured, combine

FARTHEST = 1.0  # spans between two settings that a faster step may go past them
SLOWER = 5.0  # and a slower one: that way no limit waits
BACK = 0.1  # share of the way given up at a time while a ceiling is not kept
ONE_SIDED = 1.645  # 95 %


@dataclass(frozen=True, slots=True)
class SettingPoint:
    """One setting and what the engine did there.

    Attributes
    ----------
    position : float
        Turns, notch or hole, counted one way from any mark.
    speed : Measured
        No-load speed there. [rev/s]
    idle : float or None
        Idle at that setting. [rev/s]
    """

    position: float
    speed: Measured
    idle: float | None = None


@dataclass(frozen=True, slots=True)
class Pair:
    """Two settings of different speed, the slower first."""

    slow: SettingPoint
    fast: SettingPoint

    @property
    def span(self) -> float:
        """From slow to fast, with its sign."""
        return self.fast.position - self.slow.position

    def position_for(self, speed: float) -> float:
        """Setting for a speed, midway between the two readings of the curve."""
        a, b = self.slow.speed.value, self.fast.speed.value
        straight, squared = (speed - a) / (b - a), (speed**2 - a**2) / (b**2 - a**2)
        return self.slow.position + (straight + squared) / 2 * self.span

    def speed_at(self, position: float) -> Measured:
        """Speed at a setting, midway between the two curves, with both readings' doubt. [rev/s]"""
        share, a, b = self.share(position), self.slow.speed, self.fast.speed
        return combine(sum(self._both(position)) / 2, [(a, 1 - share), (b, share)])

    def upper_at(self, position: float) -> float:
        """What the faster of the two curves stays under with 95 %. [rev/s]"""
        return max(self._both(position)) + ONE_SIDED * self.speed_at(position).u

    def _both(self, position: float) -> tuple[float, float]:
        """Straight in speed, and straight in its square."""
        share, a, b = self.share(position), self.slow.speed.value, self.fast.speed.value
        return a + share * (b - a), math.sqrt(max(0.0, a**2 + share * (b**2 - a**2)))

    def share(self, position: float) -> float:
        """Way from slow (0) to fast (1)."""
        return (position - self.slow.position) / self.span

    def reachable(self, position: float) -> float:
        """The setting, drawn in to what may be worked out from these two."""
        share = min(max(self.share(position), -SLOWER), 1 + FARTHEST)
        return self.slow.position + share * self.span

    def kept_under(self, ceiling: float, position: float) -> float | None:
        """The setting, slowed until the ceiling is kept with 95 %; None where not even far slower does."""
        while self.upper_at(position) > ceiling:
            position -= BACK * self.span
            if self.share(position) < -SLOWER:
                return None
        return position


def pair_around(points: tuple[SettingPoint, ...], target: float) -> Pair | None:
    """The nearest settings on both sides of the target, else the two nearest; None where speeds are equal."""
    latest = {point.position: point for point in points}
    ordered = sorted(latest.values(), key=lambda point: point.speed.value)
    under = [point for point in ordered if point.speed.value <= target]
    over = [point for point in ordered if point.speed.value > target]
    if under and over:
        slow, fast = under[-1], over[0]
    else:
        slow, fast = (under[-2], under[-1]) if under else (over[0], over[1])
    return None if slow.speed.value == fast.speed.value else Pair(slow, fast)


def upper(speed: Measured) -> float:
    """What a speed stays under with 95 %. [rev/s]"""
    return speed.value + ONE_SIDED * speed.u
