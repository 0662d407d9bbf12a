"""Draw speed tracks from spectra: coloured wander, a resonance that noise rings, a wave that keeps itself up."""

from typing import NamedTuple

import numpy as np


class Drawn(NamedTuple):
    """Points of a track at 60 rev/s, and what it was drawn as; depth is to each side."""

    t_s: np.ndarray
    rev_s: np.ndarray
    u: float
    hunts: bool
    kind: str
    rate: float
    depth: float
    top: float


def coloured(count: int, every: float, exponent: float, rng: np.random.Generator) -> np.ndarray:
    """Noise of unit spread whose power falls with rate, level under 0.5 Hz."""
    rates = np.fft.rfftfreq(4 * count, every)
    shape = (rates**2 + 0.25) ** (-exponent / 4)
    wave = np.fft.irfft(
        shape * (rng.standard_normal(len(rates)) + 1j * rng.standard_normal(len(rates))), 4 * count
    )
    wave = wave[count : 2 * count]
    return wave / wave.std()


def resonance(count: int, every: float, rate: float, damping: float, rng: np.random.Generator) -> np.ndarray:
    """An autoregression of second order with that rate and damping, of unit spread in the long run."""
    omega = 2 * np.pi * rate * every
    radius = np.exp(-damping * omega)
    first, second = 2 * radius * np.cos(omega * np.sqrt(1 - damping**2)), -(radius**2)
    gain = np.sqrt((1 + second) * ((1 - second) ** 2 - first**2) / (1 - second))
    before = int(8 / (damping * 2 * np.pi * rate * every)) + 10
    noise = rng.standard_normal(before + count)
    out = np.zeros(before + count)
    for i in range(2, len(out)):
        out[i] = first * out[i - 1] + second * out[i - 2] + noise[i]
    return out[before:] * gain


def course(given: dict, rng: np.random.Generator, kind: str, *, rate=None, seconds=None, depth=None) -> Drawn:
    """One track drawn from the ranges under `governors.drawn`; kind is steady, lively or hunts."""
    rate = rate or float(np.exp(rng.uniform(*np.log(given["rate"]))))
    seconds = seconds or float(rng.choice(given["seconds"]))
    every = float(rng.choice(given["every_s"]))
    fine = every / 5
    t = np.arange(0, seconds, fine)
    share = rng.uniform(*given["wander"]) * coloured(len(t), fine, rng.uniform(*given["colour"]), rng)
    said = 0.0
    if kind == "lively":
        deep = rng.uniform(*given["lively_deep"])
        share = share + deep * resonance(len(t), fine, rate, rng.uniform(*given["lively"]), rng)
    if kind == "hunts":
        said = depth or rng.uniform(*given["hunting"])
        stray = np.cumsum(rng.standard_normal(len(t))) * rng.uniform(*given["stray"]) * np.sqrt(rate * fine)
        phase = rate * t + stray + rng.random()
        breath = 1 + rng.uniform(*given["uneven"]) * np.sin(
            2 * np.pi * t / rng.uniform(3, 20) + rng.uniform(0, 6)
        )
        lean = rng.uniform(0, 0.3)
        share = share + said * breath * (np.sin(2 * np.pi * phase) + lean * np.sin(4 * np.pi * phase + 1)) / (
            1 + lean / 3
        )
    clean = 60 * (1 + share)
    spread = rng.uniform(*given["noise"])
    kept = slice(None, None, 5)
    read = clean[kept] + 60 * spread * rng.standard_normal(len(t[kept]))
    return Drawn(t[kept], read, 60 * spread, kind == "hunts", kind, rate, said, float(clean.max()))
