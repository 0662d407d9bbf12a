"""Step a governed engine whose vane answers late: stable, lively or hunting by where its root is placed."""

from dataclasses import dataclass

import numpy as np

STEP_S = 0.005


@dataclass(frozen=True)
class Course:
    """A speed track of 60 rev/s engines and what is true of it: depth is to each side, shares of the speed."""

    t_s: np.ndarray
    rev_s: np.ndarray
    u: float
    hunts: bool
    kind: str
    rate: float
    depth: float
    top: float


def loop(rate: float, damping: float, lag: float, delay: float) -> tuple[float, float]:
    """Own slowing a and gain K that put a root of s + a + K e^(-s d) / (1 + s lag) at that rate and damping."""
    omega = 2 * np.pi * rate
    s = complex(-damping * omega, omega)
    z = (1 + s * lag) * np.exp(s * delay)
    a = -(s * z).imag / z.imag
    return float(a), float(-((s + a) * z).real)


def course(
    given: dict, rng: np.random.Generator, kind: str, *, rate=None, seconds=None, depth=None
) -> Course:
    """One track drawn from the ranges under `governors.delayed`."""
    rate = rate or float(np.exp(rng.uniform(*np.log(given["rate"]))))
    seconds = seconds or float(rng.choice(given["seconds"]))
    depth = depth or rng.uniform(*given["hunting"])
    damping = {"steady": rng.uniform(0.45, 0.9), "lively": rng.uniform(*given["lively"])}.get(kind, -0.06)
    period = 1 / rate
    for _ in range(200):
        lag, delay = rng.uniform(0.02, 0.2) * period, rng.uniform(0.02, 0.2) * period
        a, gain = loop(rate, damping, lag, delay)
        if a >= 0 and gain > 0:
            break
    settle = 12 * period + 3
    count = int((settle + seconds) / STEP_S)
    late = max(1, round(delay / STEP_S))
    shove = np.empty(count)
    keep = np.exp(-STEP_S / rng.uniform(0.05, 0.15))
    noise = rng.standard_normal(count) * np.sqrt(1 - keep**2)
    rough = 0.0
    for i in range(count):
        rough = keep * rough + noise[i]
        shove[i] = rough
    x, asked = 0.0, 0.0
    out = np.zeros(count)
    push = (0.02 if kind == "hunts" else 1.0) * 2 * np.pi * rate * rng.uniform(0.2, 1.0)
    for i in range(count):
        felt = out[i - late] if i >= late else 0.02
        asked += STEP_S / lag * (felt - asked)
        pull = np.tanh(gain * asked / (gain * 1.0)) if kind == "hunts" else asked
        x += STEP_S * (-a * x - gain * pull + push * shove[i])
        out[i] = x
    tail = out[int(settle / STEP_S) :]
    tail = tail - tail.mean()
    if kind == "hunts":
        share = tail * depth / (np.sqrt(2) * tail.std())
    else:
        share = tail / tail.std() * rng.uniform(*given["rough"]) * 0.25
        depth = 0.0
    t = np.arange(len(share)) * STEP_S
    every = float(rng.choice(given["every_s"]))
    at = np.arange(0, seconds, every)
    clean = 60 * (1 + np.interp(at, t, share))
    spread = rng.uniform(*given["noise"])
    read = clean + 60 * spread * rng.standard_normal(len(at))
    return Course(at, read, 60 * spread, kind == "hunts", kind, rate, depth, float(clean.max()))
