"""Turn a speed screw or move a spring: force straight in turns, speed its root, play in the thread."""

from dataclasses import dataclass, field

import numpy as np


@dataclass
class Screw:
    """One adjuster and the hand on it; speeds in rpm."""

    kind: str
    low: float
    high: float
    ceiling: float
    start: float
    step: float
    u: float
    base: float
    slope: float
    play: float
    rng: np.random.Generator = field(repr=False)
    standing: float = 0.0

    def truth(self, position: float) -> float:
        """No-load speed with all play taken out upwards."""
        return float(np.sqrt(max(self.base**2 + self.slope * position, 100.0)))

    def set_and_read(self, position: float) -> tuple[float, float]:
        """Speed read after the hand went there, and the true one."""
        rising = position >= self.standing or self.rng.random() < 0.85  # told to come from below, mostly done
        self.standing = position
        true = self.truth(position if rising else position + self.play)
        return true + self.u * self.rng.standard_normal(), true

    def possible(self) -> bool:
        """Whether any place it can stand at lies in the band by more than the reading's doubt."""
        if self.kind == "turns":
            return True
        return any(self.low <= self.truth(p) <= self.high for p in np.arange(-60, 61) * 1.0)


def adjuster(given: dict, rng: np.random.Generator) -> Screw:
    """One drawn from the ranges under `settings.screw`."""
    kind = str(rng.choice(given["kinds"]))
    target = rng.uniform(2600, 3600)
    width = rng.uniform(*given["band"])
    a_step = rng.uniform(*given["a_turn"]) if kind == "turns" else rng.uniform(*given["step"])
    if kind == "spring holes":
        a_step *= 1.5
    off = rng.uniform(-500, 250)
    base = target + off
    slope = 2 * target * a_step
    return Screw(
        kind=kind,
        low=target - width / 2,
        high=target + width / 2,
        ceiling=target + width / 2 + rng.uniform(5, 250),
        start=0.0,
        step=1.0,
        u=rng.uniform(*given["u"]),
        base=base,
        slope=slope,
        play=rng.uniform(*given["play"]) if kind == "turns" else 0.0,
        rng=rng,
    )
