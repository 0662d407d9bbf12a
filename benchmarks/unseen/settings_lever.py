"""Move a governor lever through an angle: sine of the link, a bent curve, stick and slip."""

import math

import numpy as np


class Lever:
    """One linkage: position counts turns, notches or holes from where it was found; speeds in rpm."""

    def __init__(self, given: dict, rng: np.random.Generator) -> None:
        self.rng = rng
        self.kind = str(rng.choice(given["kinds"]))
        target, width = rng.uniform(2600, 3600), rng.uniform(*given["band"])
        self.low, self.high = target - width / 2, target + width / 2
        self.ceiling = self.high + rng.uniform(5, 250)
        self.u = rng.uniform(*given["u"])
        self.start = 0.0
        reach = rng.uniform(*given["reach"])
        self.notch = rng.uniform(*given["notch"]) if self.kind != "turns" else rng.uniform(0.03, 0.2)
        if self.kind == "spring holes":
            self.notch *= 1.4
        self.stick = rng.uniform(*given["stick"]) if self.kind == "turns" else 0.0
        self.span, self.bend = rng.uniform(900, 2200) / math.sin(reach), rng.uniform(-0.25, 0.35)
        self.middle = rng.uniform(0.1, 0.5)
        self.found = target + rng.uniform(-500, 250)
        self.shift = 0.0

    def truth(self, position: float) -> float:
        """No-load speed where the lever truly stands there."""
        angle = self.middle + position * self.notch
        angle = min(max(angle, -1.3), 1.3)
        swing = math.sin(angle) - math.sin(self.middle)
        return max(300.0, self.found + self.span * swing * (1 + self.bend * swing))

    def set_and_read(self, position: float) -> tuple[float, float]:
        """Speed read after it was moved there, and the true one; it sticks a little short or far."""
        self.shift = self.stick * (2 * self.rng.random() - 1) / max(self.notch, 1e-6)
        true = self.truth(position + self.shift)
        return true + self.u * float(self.rng.standard_normal()), true

    def possible(self) -> bool:
        """Whether a place it can stand at lies in the band."""
        if self.kind == "turns":
            return any(self.low <= self.truth(p) <= self.high for p in np.linspace(-12, 12, 4801))
        return any(self.low <= self.truth(float(p)) <= self.high for p in range(-14, 15))


def adjuster(given: dict, rng: np.random.Generator) -> Lever:
    """One drawn from the ranges under `settings.lever`."""
    return Lever(given, rng)
