"""Brake a blade by its equation of motion: dry, oil and air friction, and a brake that may change its mind."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

STEP_S = 0.001


@dataclass(frozen=True)
class Stop:
    """Points of a run-down, its marked release and when it truly stood still after it."""

    t_s: np.ndarray
    rev_s: np.ndarray
    u: float
    release_s: float
    truth_s: float
    kind: str
    seen_to: float


def friction(free_s: float, shares: np.ndarray) -> Callable[[float], float]:
    """What a free blade loses, as a function of speed share; scaled to stop in `free_s`. [1/s]"""
    x = np.linspace(1e-4, 1, 2000)
    loss = shares[0] + shares[1] * x + shares[2] * x**2
    scale = float(np.trapezoid(1 / loss, x)) / free_s
    return lambda n: scale * (shares[0] + shares[1] * n + shares[2] * n * n)


def stop(
    given: dict, rng: np.random.Generator, *, kind: str | None = None, seen_to: float | None = None
) -> Stop:
    """One stop drawn from the ranges under `stops.braked`."""
    kind = kind or str(rng.choice(given["kinds"]))
    speed = rng.uniform(*given["rev_s"])
    free = friction(rng.uniform(*given["free_s"]), rng.dirichlet([1.0, 1.0, 1.5]) + np.array([0.02, 0, 0]))
    brake = 1 / rng.uniform(*given["stands_s"])
    slope = rng.uniform(-0.3, 0.6)  # of the brake with speed
    at, left = rng.uniform(*given["changes_at"]), rng.uniform(*given["left_over"])
    begins = rng.uniform(0.0, 0.15)

    def torque(n: float, since: float) -> float:
        if since < begins:
            return 0.0
        pull = brake * (1 + slope * (n - 0.5))
        if kind == "two stages":
            return pull * (left + 0.1 if n < at else 1.0)
        if kind == "bites late":
            return pull * (1.0 if n < at else 0.35)
        if kind == "grip lost":
            return pull * (left * 0.2 if n < at else 1.0)
        if kind == "belt thrown":
            return pull * (0.0 if n < at else 1.0)
        return pull

    n, now, speeds = 1.0, 0.0, [1.0]
    while n > 0 and now < 90:
        n = max(0.0, n - STEP_S * (free(n) + torque(n, now)))
        now += STEP_S
        speeds.append(n)
    truth, before = now, rng.uniform(0.8, 2.5)
    every = rng.uniform(*given["every_s"])
    after = rng.uniform(*given["at_rest_s"])
    t = np.arange(0, before + truth + after, every) + rng.uniform(0, every)
    share = np.interp(t - before, np.arange(len(speeds)) * STEP_S, speeds, left=1.0, right=0.0)
    down_to = float(rng.choice(given["seen_to"])) if seen_to is None else seen_to
    noise = rng.uniform(*given["noise"])
    read = np.maximum(share + noise * rng.standard_normal(len(t)), 0.0) * speed
    kept = np.ones(len(t), dtype=bool) if down_to == 0 else np.cumsum(share < down_to) == 0
    stated = noise * speed * rng.uniform(*given["stated"])
    marked = before + given["u_release"] * rng.standard_normal()
    return Stop(t[kept], read[kept], stated, marked, truth, kind, down_to)
