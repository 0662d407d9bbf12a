"""Where does a speed stand on the paper: an axis with round numbers on it."""

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Scale:
    """Values from `low` to `high` laid between two places on the paper."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """The place of a value; outside the axis its nearer end."""
        share = (value - self.low) / (self.high - self.low)
        return self.start + min(1.0, max(0.0, share)) * (self.end - self.start)

    def shows(self, value: float) -> bool:
        """Whether the value lies on the axis."""
        return self.low <= value <= self.high

    def ticks(self, about: int) -> list[float]:
        """Round values on the axis, roughly `about` of them: 1, 2, 2.5 or 5 times a power of ten apart."""
        rough = (self.high - self.low) / max(1, about)
        power = 10.0 ** math.floor(math.log10(rough))
        step = next(m * power for m in (1, 2, 2.5, 5, 10) if m * power >= rough * 0.999)
        first = math.ceil(self.low / step - 1e-9)
        last = math.floor(self.high / step + 1e-9)
        return [i * step for i in range(first, last + 1)]


def spanning(values: list[float], *, start: float, end: float, margin: float = 0.08) -> Scale:
    """An axis that holds all values with some air at both ends; never below zero, never empty."""
    low, high = min(values), max(values)
    air = (high - low) * margin or max(abs(high) * 0.05, 1e-6)
    return Scale(max(0.0, low - air) if low >= 0 else low - air, high + air, start, end)
