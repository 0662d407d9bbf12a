"""A second tiny engine for tests only: single firings through a pipe of damped tones, truth exact by construction."""

import numpy as np
from scipy.signal import fftconvolve

RATE = 16_000


def pipe(generator):
    """What one firing makes: a puff and a few damped tones."""
    t = np.arange(int(0.12 * RATE)) / RATE
    answer = np.exp(-t / generator.uniform(0.0005, 0.003))
    first = generator.uniform(70, 180)
    for tone in range(1, generator.integers(5, 9)):
        frequency = first * tone * generator.uniform(0.85, 1.2)
        dies = np.exp(-t / generator.uniform(0.003, 0.015))
        answer += (
            generator.uniform(0.3, 1.0)
            * dies
            * np.sin(2 * np.pi * frequency * t + generator.uniform(0, 2 * np.pi))
        )
    return answer


def shots(speed, *, loud=1.0, turns=2, firings=(0.0,), alternating=0.0, uneven=0.06, noise=0.1, seed=1):
    """Sound of an engine whose speed at every sample is given.

    `loud` is the strength of a firing, one for all or for every sample; `alternating` the share by which every
    other cycle is stronger and the rest weaker; `uneven` scatters single firings.
    """
    generator = np.random.default_rng(seed)
    speed = np.asarray(speed, dtype=float)
    angle = np.concatenate([[0.0], np.cumsum((speed[1:] + speed[:-1]) / 2 / RATE)])
    loud = np.broadcast_to(loud, speed.shape)
    sound = np.zeros(len(speed) + 1)
    cycles = np.arange(int(angle[-1] / turns) + 1)
    for firing in firings:
        late = 0.003 * generator.standard_normal(len(cycles))
        at = (cycles + firing + late) * turns
        strength = (
            1 + alternating * np.where(cycles % 2, 1, -1) + uneven * generator.standard_normal(len(cycles))
        )
        inside = (at > 0) & (at < angle[-1])
        place = np.interp(at[inside], angle, np.arange(len(angle)))
        strength = strength[inside] * np.interp(place, np.arange(len(loud)), loud)
        whole = place.astype(int)
        np.add.at(sound, whole, strength * (1 - place + whole))
        np.add.at(sound, whole + 1, strength * (place - whole))
    heard = fftconvolve(sound[:-1], pipe(generator))[: len(speed)]
    heard = heard / np.std(heard[: RATE // 2])
    return (heard + noise * generator.standard_normal(len(heard))).astype(np.float32)


def held(rev_s, seconds):
    """One speed at every sample."""
    return np.full(int(seconds * RATE), float(rev_s))
