"""Fourth family: cycles from a library of shapes, radiated by ringing sheet metal and by noise that breathes with them.

Ringing parts are sums of decaying modes (textbook: Fletcher and Rossing, The Physics of Musical Instruments, 1998);
rooms are velvet noise (Karjalainen and Jarvelainen, AES 30th Conf., 2007; from memory).
"""

import numpy as np
from scipy.signal import cheby1, fftconvolve, lfilter, sosfilt, sosfiltfilt

from benchmarks.engines.case import BAND, Array, Case, Clip, Course, Cycles, Engine
from benchmarks.engines.radiators.cycle import POINTS, Angle, angle, waves


def record(case: Case, g: np.random.Generator) -> Clip:
    """Let it run and record it."""
    rate = case.phone.rate * (1 + case.phone.clock)
    t = np.arange(round(case.course.seconds * case.phone.rate)) / rate
    sound, going = machine(case.engine, case.course, case.cycles, case.outlet, t, rate, g)
    firing = t < min(going.released_s, case.course.at_s)
    if case.part is not None:
        tone = spinning(case, going, t, g)
        sound = sound + tone * _size(sound[firing]) / _size(tone[firing]) * 10 ** (case.part.db / 20)
    sound = microphone(space(sound, case.room, rate, g), case.phone.high_pass, rate)
    level = _size(_band(sound[firing], rate))
    for other, db in disturbances(case, t, rate, g):
        heard = microphone(other, case.phone.high_pass, rate)
        sound = sound + heard * level / _size(_band(heard, rate)) * 10 ** (db / 20)
    return Clip(
        kept(sound, case, rate, g),
        float(case.phone.rate),
        going.t_s,
        going.turns,
        going.released_s,
        going.still_s,
    )


def machine(
    engine: Engine, asked: Course, cycles: Cycles, kind: str, t: Array, rate: float, g: np.random.Generator
) -> tuple[Array, Angle]:
    """Sound of the engine alone, and where its crankshaft is."""
    going = angle(engine, asked, cycles, g)
    loud = np.ones_like(going.t_s)
    if asked.situation == "throttled":
        down = 1 - 1 / (1 + (np.clip(going.t_s - asked.at_s, 0, None) / asked.tempo) ** 2)
        loud = 10 ** (-asked.quieter_db / 20 * down)
    along = waves(engine, going, cycles, loud, g)
    at = np.interp(t, going.t_s, going.turns) * POINTS
    played = np.interp(at, np.arange(len(along)), along)
    played = np.diff(played, prepend=played[0]) * rate / 5000 if kind == "open" else played
    breath = g.standard_normal(len(t)) * lfilter([0.02], [1, -0.98], np.abs(played))
    breath = lfilter([1, -1], [1, -g.uniform(0.2, 0.8)], breath)
    direct = g.uniform(0.2, 1.0)
    sound = direct * played + fftconvolve(played, sheet_metal(rate, g))[: len(t)]
    return sound + g.uniform(0.03, 0.4) * breath * _size(sound) / _size(breath), going


def sheet_metal(rate: float, g: np.random.Generator) -> Array:
    """Answer of deck, shroud and tank: modes that ring for 2 to 60 swings."""
    t = np.arange(int(0.15 * rate)) / rate
    count = g.integers(6, 16)
    f = np.exp(g.uniform(np.log(90), np.log(min(4000, 0.45 * rate)), count))
    decay = np.pi * f / g.uniform(4, 60, count)
    loud = g.standard_normal(count) * f ** -g.uniform(0, 0.5)
    answer = (loud[:, None] * np.exp(-np.outer(decay, t)) * np.sin(2 * np.pi * np.outer(f, t))).sum(axis=0)
    return answer / np.sqrt(np.sum(answer**2)) * g.uniform(0.3, 1.5)


def spinning(case: Case, going: Angle, t: Array, g: np.random.Generator) -> Array:
    """Blades as gusts of air: noise and thump that come and go with the passing tips."""
    assert case.part is not None
    turns = np.interp(t, going.t_s, going.turns)
    phase = 2 * np.pi * case.part.ratio * turns
    if case.part.nominal != 1.0:  # a belt that creeps to and fro by up to a few degrees
        phase = phase + g.uniform(0, 0.3) * np.sin(2 * np.pi * g.uniform(0.1, 1.0) * t)
    pace = np.clip(np.gradient(turns, t), 0, None)
    lines = [
        g.uniform(0.1, 1.0) / line * np.cos(line * case.part.tips * phase + 6.3 * g.random())
        for line in (1, 2, 3)
    ]
    once = g.uniform(0, 0.4) * np.cos(phase)
    rush = (
        lfilter([1, 0, -1], [1, -1.6, 0.7], g.standard_normal(len(t)))
        * 0.1
        * (1 + np.cos(case.part.tips * phase))
    )
    return (np.sum(lines, axis=0) + once + g.uniform(0, 1) * rush) * (pace / pace.max()) ** g.uniform(2, 3)


def space(sound: Array, kind: str, rate: float, g: np.random.Generator) -> Array:
    """Single reflections, or velvet noise that dies away."""
    if kind == "open":
        return sound
    answer = np.zeros(int(0.4 * rate) if kind == "garage" else int(0.035 * rate))
    answer[0] = 1
    if kind == "wall":
        places = g.integers(int(0.002 * rate), int(0.03 * rate), 4)
        answer[places] += g.uniform(0.1, 0.4, 4) * g.choice([-1, 1], 4)
    else:
        places = (np.arange(0, len(answer) - 1, rate / 1500) + g.random()).astype(int)
        grains = g.choice([-1.0, 1.0], len(places)) * np.exp(-6.9 * places / rate / g.uniform(0.3, 1.2))
        answer[places] += g.uniform(0.3, 1.0) * grains / np.sqrt(np.sum(grains**2))
    return fftconvolve(sound, answer)[: len(sound)]


def disturbances(case: Case, t: Array, rate: float, g: np.random.Generator) -> list[tuple[Array, float]]:
    """All other sounds and their levels beside the engine. [dB]"""
    count = len(t)
    hiss = sosfilt(cheby1(1, 1, g.uniform(300, 6000), fs=rate, output="sos"), g.standard_normal(count))
    found = [(hiss + g.uniform(0, 0.3) * g.standard_normal(count) * np.std(hiss), -case.snr_db)]
    if case.beside is not None:
        held = Course("held", case.beside.rev_s, case.course.seconds)
        found.append(
            (machine(case.beside.engine, held, Cycles(0.003, 0.08), "muffler", t, rate, g)[0], case.beside.db)
        )
    if case.wind_db is not None:  # puffs that hit the microphone
        hits = np.zeros(count)
        where = g.integers(0, count, max(int(12 * t[-1]), 3))
        hits[where] = g.standard_normal(len(where)) * g.exponential(1.0, len(where))
        found.append((lfilter([1.0], [1, -1.994, 0.99405], hits), case.wind_db))
    if case.speech_db is not None:
        found.append((chatter(t, rate, g), case.speech_db))
    if case.hum_db is not None:
        mains = g.choice([50.0, 60.0])
        found.append((np.sign(np.sin(2 * np.pi * mains * t)) + np.sin(4 * np.pi * mains * t), case.hum_db))
    return found


def chatter(t: Array, rate: float, g: np.random.Generator) -> Array:
    """Noise shaped like speech that rises and falls some four times a second, and one sung voice."""
    noise = lfilter([1.0], [1, -0.9], g.standard_normal(len(t)))
    beats = np.clip(np.sin(2 * np.pi * g.uniform(3, 5) * t + np.sin(2 * np.pi * 0.7 * t)), 0, None)
    pitch = (
        g.uniform(100, 300)
        * (1 + 0.02 * np.sin(2 * np.pi * 5.5 * t))
        * 2 ** (np.floor(t / 0.7 * g.uniform(0.7, 1.5)) % 5 / 12)
    )
    phase = 2 * np.pi * np.cumsum(pitch) / rate
    sung = sum(np.cos(k * phase) / k for k in range(1, 8))
    return noise / np.std(noise) * beats + g.uniform(0, 1) * sung * (1 - beats)


def microphone(sound: Array, high_pass: float, rate: float) -> Array:
    """A steep high-pass with a ripple."""
    return sosfilt(cheby1(4, 1, high_pass, "high", fs=rate, output="sos"), sound)


def kept(sound: Array, case: Case, rate: float, g: np.random.Generator) -> np.ndarray:
    """Telephone band, a compressor on the logarithm of the level, hard stops."""
    if case.phone.telephone:
        sound = sosfilt(cheby1(5, 1, (300, 3400), "band", fs=rate, output="sos"), sound)
    if case.phone.agc:
        block = int(0.02 * rate)
        level = np.log(
            np.sqrt(np.mean(sound[: len(sound) // block * block].reshape(-1, block) ** 2, axis=1)) + 1e-9
        )
        smooth = sosfiltfilt(cheby1(1, 0.5, g.uniform(0.3, 4.0), fs=50, output="sos"), level)
        over = np.maximum(smooth - level.max() + g.uniform(2, 4), 0)
        gain = np.exp(-g.uniform(0.4, 0.9) * over)
        sound = sound * np.interp(np.arange(len(sound)), (np.arange(len(gain)) + 0.5) * block, gain)
    peak = (
        np.quantile(np.abs(sound), g.uniform(0.93, 0.98))
        if case.phone.clipped
        else np.abs(sound).max() * 1.05
    )
    return np.clip(sound / peak, -1, 1).astype(np.float32)


def _size(sound: Array) -> float:
    return float(np.sqrt(np.mean(np.square(sound)))) + 1e-20


def _band(sound: Array, rate: float) -> Array:
    return sosfilt(cheby1(2, 0.5, (BAND[0], min(BAND[1], 0.49 * rate)), "band", fs=rate, output="sos"), sound)
