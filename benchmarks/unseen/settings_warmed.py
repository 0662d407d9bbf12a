"""Set a governor by its balance of forces: a spring that stiffens, friction that holds the link, a warming engine."""

import math

import numpy as np


class Warmed:
    """One governor; position counts turns, notches or holes from where it was found; speeds in rpm."""

    def __init__(self, given: dict, rng: np.random.Generator) -> None:
        self.rng = rng
        self.kind = str(rng.choice(given["kinds"]))
        width, target = rng.uniform(*given["band"]), rng.uniform(2400, 3650)
        self.low, self.high, self.target = target - width / 2, target + width / 2, target
        self.ceiling = self.high + rng.uniform(5, 250)
        self.u = rng.uniform(*given["u"])
        self.start = 0.0
        self.stretch = rng.uniform(*given["stretch"])  # relative growth of the force for one turn or notch
        self.stiffens = rng.uniform(*given["stiffens"])
        held = given["held_turns"] if self.kind == "turns" else given["held_notches"]
        self.held = rng.uniform(*held)
        self.cold = rng.uniform(*given["cold"])  # share by which it still runs off when the work begins
        self.warms = rng.uniform(*given["warms"])  # settings over which that shrinks to a third
        self.obeys = rng.uniform(*given["obeys"])
        self.found = target + rng.uniform(-500, 250)
        self.uneven = rng.normal(0, given["hole_off"], 400) if self.kind == "spring holes" else np.zeros(400)
        self.link, self.count = -self.held / 2, 0

    def truth(self, link: float) -> float:
        """Warm no-load speed where the link truly stands there: weights against a spring, n^2 = F."""
        place = link + float(self.uneven[round(link) + 200]) if self.kind == "spring holes" else link
        force = 1 + self.stretch * place + self.stiffens * self.stretch**2 * place * abs(place)
        return self.found * math.sqrt(max(force, 0.02))

    def set_and_read(self, position: float) -> tuple[float, float]:
        """Speed read after it was moved there, and the true one; where friction lets go too early it stays behind."""
        if position < self.link + self.held / 2 and self.rng.random() < self.obeys:
            self.link = position - self.held / 2  # gone under it first, then up
        self.link = min(max(self.link, position - self.held / 2), position + self.held / 2)
        self.count += 1
        true = self.truth(self.link) * (1 + self.cold * math.exp(-self.count / self.warms))
        return true + self.u * float(self.rng.standard_normal()), true

    def possible(self) -> bool:
        """Whether a place it can be set to from below lies in the band once it is warm."""
        places = np.linspace(-12, 12, 4801) if self.kind == "turns" else np.arange(-20.0, 21.0)
        return any(self.low <= self.truth(float(p) - self.held / 2) <= self.high for p in places)


def adjuster(given: dict, rng: np.random.Generator) -> Warmed:
    """One drawn from the ranges under `settings.warmed`."""
    return Warmed(given, rng)
