"""First family: the project's simulator of puffs through a ringing muffler (docs/simulator.md), in more situations.

New here: throttling, wandering, alternating cycles, a second engine, wind, speech, a room and gain control.
"""

import numpy as np
from scipy.signal import butter, fftconvolve, lfilter, sosfilt

from benchmarks.engines.case import NEVER, Array, Case, Clip, Course, Cycles, Engine
from benchmarks.simulator.engine import Blade, Scene, band_rms, blade_tone, exhaust, phone, rms, shaft_lines
from benchmarks.simulator.ride import STEP, Ride, turned


def record(case: Case, g: np.random.Generator) -> Clip:
    """Let it run and record it."""
    rate = case.phone.rate * (1 + case.phone.clock)
    t = np.arange(round(case.course.seconds * case.phone.rate)) / rate
    sound, going = running(case.engine, case.course, case.cycles, t, rate, g)
    firing = t < min(going.release_s, case.course.at_s)
    if case.part is not None:
        blade = Blade(case.part.ratio, case.part.tips, case.part.db)
        tone = blade_tone(blade, going, t, g)
        sound = sound + tone * _gain(sound[firing], tone[firing], blade.level_db)
    if case.outlet == "open":
        sound = np.diff(sound, prepend=0.0)  # nothing holds the sharp edges back
    added = [(x, db) for x, db in _others(case, t, rate, g) if db is not None]
    sound, *others = (
        phone(in_room(x, case.room, rate, g), case.phone.high_pass, rate)
        for x in (sound, *(x for x, _ in added))
    )
    level = band_rms(sound[firing], rate)
    for other, (_, db) in zip(others, added, strict=True):
        sound = sound + other * level / band_rms(other, rate) * 10 ** (db / 20)
    samples, stops = _kept(sound, case, rate, g), case.course.situation == "run-down"
    return Clip(
        samples,
        float(case.phone.rate),
        going.t_s,
        going.turns,
        released_s=going.release_s if stops else NEVER,
        still_s=case.course.at_s + case.course.tempo if stops else NEVER,
    )


def running(
    engine: Engine, course: Course, cycles: Cycles, t: Array, rate: float, g: np.random.Generator
) -> tuple[Array, Ride]:
    """Sound of the engine alone, and its ride."""
    grid = np.arange(-0.1, course.seconds + 0.1 + STEP, STEP)
    governed, release = _course(course, grid, g)
    going = turned(grid, governed, release, cycle_turns=engine.turns, jitter=cycles.jitter, generator=g)
    scene = Scene(
        course.rev_s,
        course.seconds,
        cycle_turns=engine.turns,
        firings=engine.firings,
        scatter=cycles.scatter,
        alternating=cycles.alternating,
        misfires=cycles.misfires,
    )
    sound = exhaust(scene, going, t, rate, g) + shaft_lines(going, t, g)
    if course.situation == "throttled":
        quieter = 1 - np.exp(-np.clip(t - course.at_s, 0, None) / course.tempo)
        sound = sound * 10 ** (-course.quieter_db / 20 * quieter)
    return sound, going


def _course(course: Course, t: Array, g: np.random.Generator) -> tuple[Array, float]:
    """Governed speed [rev/s] and the moment of release [s]; the laws of docs/simulator.md, and three more."""
    n, since, never = course.rev_s, np.clip(t - course.at_s, 0, None), course.seconds + 1.0
    match course.situation:
        case "drift":
            return n * (1 + course.amount * (t / course.seconds - 0.5)), never
        case "ramp":
            return n * (1 + course.amount * (t - course.seconds / 2)), never
        case "hunting":
            return n * (1 + course.amount * np.sin(2 * np.pi * (course.tempo * t + g.uniform()))), never
        case "step":
            answer = 1 - np.exp(-since / course.tempo) * np.cos(2 * np.pi * since * g.uniform(0.5, 1.5))
            return n * (1 + course.amount * answer), never
        case "wandering":
            rates = g.uniform(0.3, 1.5, 4) / (2 * course.tempo)
            swing = np.cos(2 * np.pi * (np.outer(rates, t) + g.random((4, 1)))).sum(axis=0)
            return n * (1 + course.amount * swing / np.abs(swing).max()), never
        case "throttled":
            return course.target + (n - course.target) * np.exp(-since / course.tempo), never
        case "run-down":  # dn/dt = -b n0 - c n: at rest after ln(1 + c/b) / c
            drag = g.uniform(0.2, 3.0) / course.tempo
            braking = drag / np.expm1(drag * course.tempo)
            falling = (1 + braking / drag) * np.exp(-drag * since) - braking / drag
            return n * np.where(since < course.tempo, np.clip(falling, 0, None), 0.0), course.at_s
    return np.full_like(t, n), never


def _others(case: Case, t: Array, rate: float, g: np.random.Generator) -> list[tuple[Array, float | None]]:
    """Every other sound with its level beside the engine. [dB]"""
    found: list[tuple[Array, float | None]] = [(_noise(len(t), rate, g), -case.snr_db)]
    if case.beside is not None:
        course = Course("held", case.beside.rev_s, case.course.seconds)
        other, _ = running(case.beside.engine, course, Cycles(0.005, 0.1), t, rate, g)
        found.append((other, case.beside.db))
    if case.wind_db is not None:
        slow = sosfilt(butter(1, (8, 60), "band", fs=rate, output="sos"), g.standard_normal(len(t)))
        gusts = np.interp(
            t, np.arange(0, t[-1] + 1, 0.4), g.exponential(1.0, len(np.arange(0, t[-1] + 1, 0.4)))
        )
        found.append((slow * gusts, case.wind_db))
    if case.speech_db is not None:
        found.append((_speech(t, rate, g), case.speech_db))
    if case.hum_db is not None:
        mains = g.choice([50.0, 60.0])
        found.append(
            (sum(np.cos(2 * np.pi * (k * mains * t + g.random())) / k for k in (1, 2, 3, 5)), case.hum_db)
        )
    return found


def _noise(count: int, rate: float, g: np.random.Generator) -> Array:
    spectrum = np.fft.rfft(g.standard_normal(count))
    frequency = np.fft.rfftfreq(count, 1 / rate)
    return np.fft.irfft(spectrum * np.maximum(frequency, 20.0) ** -g.uniform(0, 0.5), n=count)


def _speech(t: Array, rate: float, g: np.random.Generator) -> Array:
    """Syllables of a voice whose pitch glides, through three formants."""
    knots = np.arange(0, t[-1] + 0.5, 0.22)
    pitch = g.uniform(90, 220) * np.exp(0.15 * g.standard_normal(len(knots)))
    phase = np.cumsum(np.interp(t, knots, pitch)) / rate
    buzz = np.diff(np.floor(phase), prepend=0.0) * np.interp(t, knots, g.exponential(1.0, len(knots)))
    voice = np.zeros_like(t)
    for formant, width in (
        (g.uniform(300, 800), 80),
        (g.uniform(900, 2200), 120),
        (g.uniform(2300, 3000), 160),
    ):
        r, turn = np.exp(-np.pi * width / rate), np.cos(2 * np.pi * formant / rate)
        voice += lfilter([1 - r], [1, -2 * r * turn, r * r], buzz)
    return voice


def in_room(sound: Array, room: str, rate: float, g: np.random.Generator) -> Array:
    """One echo off a wall, or a garage's tail of noise."""
    if room == "wall":
        late = int(g.uniform(0.002, 0.03) * rate)
        return sound + g.uniform(0.3, 0.8) * np.concatenate([np.zeros(late), sound[:-late]])
    if room == "garage":
        t = np.arange(int(0.5 * rate)) / rate
        tail = g.standard_normal(len(t)) * np.exp(-6.9 * t / g.uniform(0.3, 1.2))
        tail *= g.uniform(0.3, 1.0) / np.sqrt(np.sum(tail**2))
        tail[0] += 1
        return fftconvolve(sound, tail)[: len(sound)]
    return sound


def _kept(sound: Array, case: Case, rate: float, g: np.random.Generator) -> np.ndarray:
    """What the phone makes of it: telephone band, gain control, stops."""
    if case.phone.telephone:
        sound = sosfilt(butter(4, (300, 3400), "band", fs=rate, output="sos"), sound)
    if case.phone.agc:
        slow = sosfilt(butter(1, g.uniform(0.3, 2), fs=rate, output="sos"), np.abs(sound)) + 0.05 * rms(sound)
        sound = sound / np.maximum(slow, 1e-9) ** g.uniform(0.3, 0.9)
    peak = np.quantile(np.abs(sound), 0.97) if case.phone.clipped else np.abs(sound).max() * 1.1
    return np.clip(sound / peak, -1, 1).astype(np.float32)


def _gain(beside: Array, sound: Array, db: float) -> float:
    return float(rms(beside) / rms(sound) * 10 ** (db / 20))
