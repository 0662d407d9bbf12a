"""What a phone records of a running engine: firings, blade tone, noise and the phone's own faults.

Equations and ranges stand in docs/simulator.md. No line here is shared with what reads the sound.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, fftconvolve, sosfilt

from benchmarks.simulator.ride import Array, Profile, Ride, ride

BAND = (20.0, 4000.0)  # Hz in which signal and noise are compared


@dataclass(frozen=True, slots=True)
class Blade:
    """A bladed part: its speed over the engine's, tips, and its loudness beside the engine. [dB]"""

    ratio: float
    tips: int = 2
    level_db: float = -6.0


@dataclass(frozen=True, slots=True)
class Scene:
    """One recording to be made.

    Attributes
    ----------
    rev_s : float
        Engine speed. [rev/s]
    seconds : float
        Length. [s]
    profile : str
        How the speed goes, see `ride`.
    cycle_turns : int
        2 four-stroke, 1 two-stroke.
    firings : tuple of float
        Places in the cycle where a cylinder fires.
    blade : Blade or None
        What it drives.
    snr_db : float
        Engine and blade over noise, as recorded, in 20 Hz to 4 kHz. [dB]
    cut_off : float
        High-pass of the phone. [Hz]
    jitter : float
        Of a cycle's length, as a share.
    rate : float
        Samples a second that the file will claim. [Hz]
    clock : float
        How much faster the phone's clock truly runs, as a share.
    hum : float
        Mains hum of this frequency in the noise, 0 for none. [Hz]
    clip : bool
        Whether the recording is driven into its stops.
    scatter : float
        Of a firing's strength, as a share.
    alternating : float
        By how much every second cycle is stronger, and the others weaker, as a share.
    misfires : float
        Share of the cycles that only puff.
    """

    rev_s: float
    seconds: float = 5.0
    profile: Profile = "steady"
    cycle_turns: int = 2
    firings: tuple[float, ...] = (0.0,)
    blade: Blade | None = None
    snr_db: float = 20.0
    cut_off: float = 100.0
    jitter: float = 0.005
    rate: float = 44_100.0
    clock: float = 0.0
    hum: float = 0.0
    clip: bool = False
    scatter: float = 0.10
    alternating: float = 0.0
    misfires: float = 0.0


@dataclass(frozen=True, slots=True)
class Take:
    """A simulated recording with its truth."""

    samples: NDArray[np.float32]
    rate: float
    ride: Ride
    scene: Scene


def record(scene: Scene, generator: np.random.Generator) -> Take:
    """Let the engine run and record it."""
    true_rate = scene.rate * (1 + scene.clock)
    t = np.arange(round(scene.seconds * scene.rate)) / true_rate
    going = ride(
        scene.profile,
        rev_s=scene.rev_s,
        seconds=scene.seconds,
        cycle_turns=scene.cycle_turns,
        jitter=scene.jitter,
        generator=generator,
    )
    sound = exhaust(scene, going, t, true_rate, generator) + shaft_lines(going, t, generator)
    firing = t < going.release_s
    if scene.blade is not None:
        tone = blade_tone(scene.blade, going, t, generator)
        sound = sound + tone * rms(sound[firing]) / rms(tone[firing]) * 10 ** (scene.blade.level_db / 20)
    noise = background(scene, len(t), true_rate, generator)
    sound, noise = (phone(x, scene.cut_off, true_rate) for x in (sound, noise))
    wanted = band_rms(sound[firing], true_rate) * 10 ** (-scene.snr_db / 20)
    mixed = sound + noise * wanted / band_rms(noise, true_rate)
    peak = np.quantile(np.abs(mixed), 0.98) if scene.clip else np.abs(mixed).max() * 1.1
    samples = np.clip(mixed / peak, -1, 1).astype(np.float32)
    return Take(samples=samples, rate=scene.rate, ride=going, scene=scene)


def exhaust(scene: Scene, going: Ride, t: Array, rate: float, generator: np.random.Generator) -> Array:
    """Pressure of the blow-down of each firing, rung through the resonances of its muffler."""
    cycles = np.arange(np.floor(going.turns[-1] / scene.cycle_turns))
    strength = 1 + 0.07 * generator.standard_normal(len(scene.firings))
    loud = 1 + scene.alternating * (-1) ** cycles
    if scene.misfires:
        loud[generator.random(len(cycles)) < scene.misfires] = 0.08
    train = np.zeros(len(t) + 2)
    for place, cylinder in zip(scene.firings, strength, strict=True):
        at = going.time_at((cycles + place) * scene.cycle_turns)
        puffs = cylinder * loud * np.exp(scene.scatter * generator.standard_normal(len(at)))
        # Cut ignition leaves the compression puffing through the same pipe, far weaker.
        puffs = np.where(at < going.release_s, puffs, 0.08 * puffs)
        where = at * rate
        heard = (where >= 0) & (where < len(t) - 1)
        whole = np.floor(where[heard]).astype(int)
        part = where[heard] - whole
        np.add.at(train, whole, puffs[heard] * (1 - part))
        np.add.at(train, whole + 1, puffs[heard] * part)
    return np.asarray(fftconvolve(train, muffler(rate, generator))[: len(t)], dtype=np.float64)


def muffler(rate: float, generator: np.random.Generator) -> Array:
    """Answer of pipe and muffler to one blow-down: the derivative of its flow, and a few ringing modes."""
    t = np.arange(int(0.1 * rate)) / rate
    rise = generator.uniform(0.0008, 0.002)
    answer = (1 - t / rise) * np.exp(-t / rise)
    for frequency in generator.uniform(90, 1500, size=5):
        ring = generator.uniform(0.1, 0.6) * np.exp(-np.pi * frequency / generator.uniform(2, 8) * t)
        answer = answer + ring * np.sin(2 * np.pi * frequency * t)
    return np.asarray(answer, dtype=np.float64)


def shaft_lines(going: Ride, t: Array, generator: np.random.Generator) -> Array:
    """Weak lines at whole orders of the crankshaft: imbalance, cam drive, cooling fan."""
    turns, total = going.turns_at(t), np.zeros_like(t)
    for order, loud in ((1, 0.02), (2, 0.02), (generator.integers(12, 24), 0.015)):
        total += loud * generator.uniform(0.3, 1) * np.cos(2 * np.pi * (order * turns + generator.uniform()))
    return total


def blade_tone(blade: Blade, going: Ride, t: Array, generator: np.random.Generator) -> Array:
    """Tone of the blade tips and, weaker, of the tips not being alike."""
    turns, total = going.turns_at(t) * blade.ratio, np.zeros_like(t)
    for harmonic in range(1, 7):
        loud = generator.uniform(0.5, 1) / harmonic
        total += loud * np.cos(2 * np.pi * (blade.tips * harmonic * turns + generator.uniform()))
    total += 0.15 * np.cos(2 * np.pi * (turns + generator.uniform()))
    pace = np.clip(np.gradient(turns, t), 0, None)
    return np.asarray(total * (pace / pace.max()) ** 2.5, dtype=np.float64)


def background(scene: Scene, count: int, rate: float, generator: np.random.Generator) -> Array:
    """Noise between white and pink, with mains hum where asked for."""
    spectrum = np.fft.rfft(generator.standard_normal(count))
    frequency = np.fft.rfftfreq(count, 1 / rate)
    noise = np.fft.irfft(spectrum * np.maximum(frequency, 20.0) ** -generator.uniform(0, 0.5), n=count)
    if scene.hum:
        t = np.arange(count) / rate
        for harmonic in (1, 2, 3, 5):
            loud = rms(noise) * generator.uniform(0.2, 1) / harmonic
            noise = noise + loud * np.cos(2 * np.pi * (harmonic * scene.hum * t + generator.uniform()))
    return np.asarray(noise, dtype=np.float64)


def phone(sound: Array, cut_off: float, rate: float) -> Array:
    """The phone's high-pass."""
    return np.asarray(sosfilt(butter(3, cut_off, "high", fs=rate, output="sos"), sound), dtype=np.float64)


def rms(sound: Array) -> float:
    """Root of the mean square, never nought."""
    return float(np.sqrt(np.mean(sound**2))) + 1e-12


def band_rms(sound: Array, rate: float) -> float:
    """The same of what lies in `BAND`."""
    power = np.abs(np.fft.rfft(sound)) ** 2
    frequency = np.fft.rfftfreq(len(sound), 1 / rate)
    inside = power[(frequency >= BAND[0]) & (frequency <= BAND[1])].sum()
    return float(np.sqrt(2 * inside)) / len(sound) + 1e-12
