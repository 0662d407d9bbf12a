"""Third family: valve pulses sent through pipes as travelling waves, in Schroeder's rooms."""

import numpy as np
from scipy.fft import irfft, next_fast_len, rfft, rfftfreq
from scipy.signal import butter, lfilter, sosfilt

from benchmarks.engines.case import BAND, Array, Case, Clip, Course, Cycles, Engine
from benchmarks.engines.pipes.valves import Shaft, pulses, shaft
from benchmarks.engines.pipes.waveguide import exhausted


def record(case: Case, g: np.random.Generator) -> Clip:
    """Let it run and record it."""
    rate = case.phone.rate * (1 + case.phone.clock)
    count = round(case.course.seconds * case.phone.rate)
    t = np.arange(count) / rate
    sound, going = running(case.engine, case.course, case.cycles, case.outlet, t, rate, g)
    firing = t < min(going.released_s, case.course.at_s)
    if case.part is not None:
        tone = blades(case, going, t, g)
        sound = sound + tone * _norm(sound[firing]) / _norm(tone[firing]) * 10 ** (case.part.db / 20)
    sound = phone_in(placed(sound, case.room, rate, g), case.phone.high_pass, rate)
    level = loudness(sound[firing], rate)
    for other, db in others(case, t, rate, g):
        heard = phone_in(other, case.phone.high_pass, rate)
        sound = sound + heard * level / loudness(heard, rate) * 10 ** (db / 20)
    samples = phone_out(sound, case, rate, g)
    return Clip(samples, float(case.phone.rate), going.t_s, going.turns, going.released_s, going.still_s)


def running(
    engine: Engine, asked: Course, cycles: Cycles, kind: str, t: Array, rate: float, g: np.random.Generator
) -> tuple[Array, Shaft]:
    """Sound of the engine alone, worked out at half the rate where that is enough, and its shaft."""
    going = shaft(engine, asked, cycles, g)
    every = 2 if rate > 30_000 else 1
    coarse = t[::every]
    flow, open_ = pulses(engine, going, asked, cycles, coarse, g)
    flow = flow * (1 + g.uniform(0.02, 0.3) * g.standard_normal(len(coarse)))
    sound = exhausted(flow, open_, kind, rate / every, g)
    if every == 2:
        wide = np.zeros(len(t) // 2 + 1, dtype=complex)
        half = rfft(sound)
        wide[: len(half)] = 2 * half
        sound = irfft(wide, len(t))
    ticking = going.when(np.arange(0, going.turns[-1], engine.turns / 2) + g.random())
    inside = ticking[(ticking > 0) & (ticking < t[-1] - 0.01)]
    knocks = np.zeros(len(t))
    knocks[(inside * rate).astype(int)] = g.exponential(1.0, len(inside))
    ring, turn = np.exp(-g.uniform(300, 2000) / rate), 2 * np.pi * g.uniform(800, 3500) / rate
    knocks = lfilter([1.0], [1, -2 * ring * np.cos(turn), ring**2], knocks)
    return sound + knocks * g.uniform(0.02, 0.25) * _norm(sound) / _norm(knocks), going


def blades(case: Case, going: Shaft, t: Array, g: np.random.Generator) -> Array:
    """Tones of the tips whose phases shiver with the air, on a belt whose slip comes and goes."""
    assert case.part is not None
    turns = np.interp(t, going.t_s, going.turns)
    slipping = 0.0 if case.part.nominal == 1.0 else 0.003 * np.cumsum(_slow(t, 1.5, g)) * (t[1] - t[0])
    pace = np.clip(np.gradient(turns, t), 0, None)
    angle = case.part.ratio * turns + slipping * pace.mean()
    tone = np.zeros_like(t)
    for line in range(1, 5):
        shiver = 0.3 * line * _slow(t, 0.08, g)
        tone += g.uniform(0.3, 1) / line**1.3 * np.cos(2 * np.pi * line * case.part.tips * angle + shiver)
    tone += g.uniform(0, 0.3) * np.cos(2 * np.pi * angle)
    return tone * (pace / pace.max()) ** 2


def placed(sound: Array, kind: str, rate: float, g: np.random.Generator) -> Array:
    """Walls as late, dulled copies; a garage as Schroeder's combs in parallel (JAES 10, 1962; from memory)."""
    if kind == "open":
        return sound
    size = next_fast_len(len(sound) + int(0.6 * rate), real=True)
    f = rfftfreq(size, 1 / rate)
    if kind == "wall":
        answer = 1 + sum(
            g.uniform(0.2, 0.6) * np.exp(-2j * np.pi * f * g.uniform(0.002, 0.03)) / (1 + f / 3000)
            for _ in range(2)
        )
    else:
        decay, answer = g.uniform(0.3, 1.0), 1 + 0j
        for late in g.uniform(0.012, 0.045, 5):
            answer = answer + 0.25 / (np.exp(2j * np.pi * f * late) - 10 ** (-3 * late / decay))
    return irfft(rfft(sound, size) * answer, size)[: len(sound)]


def others(case: Case, t: Array, rate: float, g: np.random.Generator) -> list[tuple[Array, float]]:
    """All other sounds and their levels beside the engine. [dB]"""
    pink = lfilter([1.0], [1, -g.uniform(0.0, 0.95)], g.standard_normal(len(t)))
    found = [(pink, -case.snr_db)]
    if case.beside is not None:
        held = Course("held", case.beside.rev_s, case.course.seconds)
        found.append(
            (running(case.beside.engine, held, Cycles(0.004, 0.1), "muffler", t, rate, g)[0], case.beside.db)
        )
    if case.wind_db is not None:
        rumble = lfilter([1.0], [1, -2 * 0.997, 0.997**2 + 1e-5], g.standard_normal(len(t)))
        found.append((rumble * np.clip(0.3 + _slow(t, 0.9, g), 0, None) ** 2, case.wind_db))
    if case.speech_db is not None:
        found.append((_talk(t, rate, g), case.speech_db))
    if case.hum_db is not None:  # a rectifier's hum
        found.append((np.abs(np.sin(np.pi * g.choice([100.0, 120.0]) * t)) - 0.637, case.hum_db))
    return found


def _talk(t: Array, rate: float, g: np.random.Generator) -> Array:
    """Syllables one after the other: pulses or breath through a throat of three poles pairs, with pauses."""
    total, at, pitch = np.zeros(len(t)), 0, g.uniform(85, 250)
    while at < len(t):
        length = int(g.uniform(0.1, 0.35) * rate)
        piece = min(length, len(t) - at)
        if g.random() < 0.8:
            steps = np.cumsum(np.full(piece, pitch * np.exp(0.15 * g.standard_normal()) / rate))
            drive = (
                np.diff(np.floor(steps), prepend=0.0) if g.random() < 0.75 else 0.1 * g.standard_normal(piece)
            )
            for low, high, width in ((250, 850, 90), (900, 2300, 130), (2300, 3200, 200)):
                r, turn = np.exp(-np.pi * width / rate), 2 * np.pi * g.uniform(low, high) / rate
                drive = lfilter([1 - r], [1, -2 * r * np.cos(turn), r * r], drive)
            total[at : at + piece] = drive / (_norm(drive)) * np.hanning(piece + 2)[1:-1] * g.uniform(0.3, 1)
        at += length
    return total


def phone_in(sound: Array, high_pass: float, rate: float) -> Array:
    """Two first-order high-passes, one above the other."""
    for corner in (high_pass, high_pass / 2):
        r = np.exp(-2 * np.pi * corner / rate)
        sound = lfilter([(1 + r) / 2, -(1 + r) / 2], [1, -r], sound)
    return sound


def phone_out(sound: Array, case: Case, rate: float, g: np.random.Generator) -> np.ndarray:
    """Telephone band, gain in steps of 2 dB, lopsided stops."""
    if case.phone.telephone:
        sound = sosfilt(butter(3, (300, 3400), "band", fs=rate, output="sos"), sound)
    if case.phone.agc:
        block = int(g.uniform(0.1, 0.4) * rate)
        gain, gains = 0.0, []
        for a in range(0, len(sound), block):
            too_loud = 20 * np.log10(_norm(sound[a : a + block]) / _norm(sound)) + gain
            gains.append(gain)
            gain -= 2 * np.sign(too_loud) * (abs(too_loud) > 2)
            gain = float(np.clip(gain, -20, 20))
        at = np.arange(len(gains)) * block
        sound = sound * 10 ** (np.interp(np.arange(len(sound)), at, gains) / 20)
    if case.phone.clipped:
        top = np.quantile(np.abs(sound), 0.95)
        return np.clip(sound / top, -g.uniform(0.6, 1.0), 1.0).astype(np.float32)
    return (sound / np.abs(sound).max() * g.uniform(0.1, 1.0)).astype(np.float32)


def loudness(sound: Array, rate: float) -> float:
    """Root mean square of what lies in `BAND`."""
    size = next_fast_len(len(sound), real=True)
    f, power = rfftfreq(size, 1 / rate), np.abs(rfft(sound, size)) ** 2
    return float(np.sqrt(2 * power[(f >= BAND[0]) & (f <= BAND[1])].sum() / size / len(sound))) + 1e-20


def _norm(sound: Array) -> float:
    return float(np.sqrt(np.mean(np.square(sound)))) + 1e-20


def _slow(t: Array, every: float, g: np.random.Generator) -> Array:
    knots = np.arange(0, t[-1] + 2 * every, every)
    return np.interp(t, knots, g.standard_normal(len(knots)))
