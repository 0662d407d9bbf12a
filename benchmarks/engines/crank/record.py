"""Second family: cylinder pressure on the crank angle, a flywheel, blow-down and a muffler's matrices."""

import numpy as np
from scipy.fft import irfft, next_fast_len, rfft, rfftfreq

from benchmarks.engines.case import BAND, NEVER, Array, Case, Clip, Course, Cycles, Engine
from benchmarks.engines.crank.motion import Motion, cylinder, motion
from benchmarks.engines.crank.outlet import clicks, flow, knock, outlet

TAIL = 0.6  # s


def record(case: Case, g: np.random.Generator) -> Clip:
    """Let it run and record it."""
    rate = case.phone.rate * (1 + case.phone.clock)
    count = round(case.course.seconds * case.phone.rate)
    size = next_fast_len(count + int(TAIL * rate), real=True)
    frequency = rfftfreq(size, 1 / rate)
    t = np.arange(count) / rate
    spectrum, going = _engine(case.engine, case.course, case.cycles, case.outlet, t, size, rate, g)
    firing = slice(0, int(min(going.released_s, case.course.at_s, case.course.seconds) * rate))
    if case.part is not None:
        tone = _blade(case, going, t, g)
        alone = irfft(spectrum, size)[firing]
        gain = _rms(alone) / _rms(tone[firing]) * 10 ** (case.part.db / 20)
        spectrum = spectrum + gain * rfft(tone, size)
    spectrum = spectrum * rfft(_room(case.room, rate, g), size)
    heard = 1 / (
        1
        - (case.phone.high_pass / np.maximum(frequency, 1)) ** 2
        + 1.4142j * -case.phone.high_pass / np.maximum(frequency, 1)
    )
    sound = irfft(spectrum * heard, size)[:count]
    inside = (frequency >= BAND[0]) & (frequency <= BAND[1])
    level = _rms(irfft(rfft(sound[firing], size) * inside, size)[: firing.stop])
    for other, db in _others(case, frequency, size, count, rate, g):
        noise = irfft(other * heard, size)[:count]
        power = np.sqrt(2 * np.sum(np.abs(other * heard)[inside] ** 2) / size / count)
        sound = sound + noise * level / (power + 1e-20) * 10 ** (db / 20)
    samples = _phone(sound, case, rate, g)
    return Clip(samples, float(case.phone.rate), going.t_s, going.turns, going.released_s, going.still_s)


def _engine(
    engine: Engine,
    course: Course,
    cycles: Cycles,
    kind: str,
    t: Array,
    size: int,
    rate: float,
    g: np.random.Generator,
) -> tuple[Array, Motion]:
    """Spectrum of the engine alone, and its motion, drawn out to the end of the clip where it stands still."""
    one = cylinder(engine, g)
    going = motion(engine, one, course, cycles, g)
    begins = np.interp(np.arange(len(going.heat)) * engine.turns, going.turns, going.t_s)
    quieter = np.zeros(len(begins))
    if course.situation == "throttled":
        quieter = course.quieter_db * (1 - np.exp(-np.clip(begins - course.at_s, 0, None) / course.tempo))
    out = flow(engine, one, going, t, 10 ** (-quieter / 20), g)
    rush = g.standard_normal(len(t)) * np.abs(out) * g.uniform(0.02, 0.25)
    spectrum = rfft(out + rush, size) * rfft(outlet(kind, rate, g), size)
    body = rfft(clicks(engine, going, len(t), rate, g), size) * rfft(knock(rate, g), size)
    body = body * g.uniform(0.03, 0.3) * np.linalg.norm(spectrum) / max(np.linalg.norm(body), 1e-20)
    if going.still_s < NEVER:
        end = max(course.seconds, going.still_s) + 1
        going = Motion(
            np.append(going.t_s, end),
            np.append(going.turns, going.turns[-1]),
            going.rev_s,
            going.heat,
            going.released_s,
            going.still_s,
        )
    return spectrum + body, going


def _blade(case: Case, going: Motion, t: Array, g: np.random.Generator) -> Array:
    """Each tip's pulse of pressure in passing, none like the other, on air that is torn; louder with speed cubed."""
    assert case.part is not None
    angle = np.interp(t, going.t_s, going.turns) * case.part.ratio
    pace = np.clip(np.gradient(angle, t), 0, None)
    tips = np.arange(case.part.tips)
    strength = 1 + g.uniform(0, 0.15) * g.standard_normal(case.part.tips)
    sharp = g.uniform(2, 12)
    circle = np.linspace(0, 1, 721)
    wave = sum(
        s * np.exp(sharp * (np.cos(2 * np.pi * (circle - tip / case.part.tips)) - 1))
        for s, tip in zip(strength, tips, strict=True)
    )
    pulses = np.interp(angle % 1, circle, wave - np.mean(wave))
    torn = g.standard_normal(len(t)) * (1 + pulses / np.abs(wave).max()) * g.uniform(0.05, 0.5) * np.std(wave)
    return (pulses + torn) * (pace / pace.max()) ** 3


def _room(kind: str, rate: float, g: np.random.Generator) -> Array:
    """Answer of the place: the ground beside the phone, walls as mirror images, or a garage."""
    answer = np.zeros(int(TAIL * rate))
    answer[0] = 1
    if kind == "wall":
        for late in g.uniform(0.001, 0.03, 3):
            answer[int(late * rate)] += g.uniform(-0.2, 0.6)
    elif kind == "garage":
        t = np.arange(len(answer)) / rate
        for decay in g.uniform(0.3, 1.2, 2):
            tail = (
                np.convolve(g.standard_normal(len(t)), [0.5, 0.5], "same")
                * np.exp(-6.9 * t / decay)
                * (t > 0.004)
            )
            answer += g.uniform(0.3, 1.0) * tail / np.sqrt(np.sum(tail**2)) / 2
    return answer


def _others(
    case: Case, frequency: Array, size: int, count: int, rate: float, g: np.random.Generator
) -> list[tuple[Array, float]]:
    """Spectra of all other sounds and their levels beside the engine. [dB]"""
    f, t = np.maximum(frequency, 5), np.arange(count) / rate
    white = rfft(g.standard_normal(count), size)
    found = [(white * (f**-0.3 + g.uniform(0, 3) * f**-0.8), -case.snr_db)]
    if case.beside is not None:
        course = Course("held", case.beside.rev_s, case.course.seconds)
        other, _ = _engine(case.beside.engine, course, Cycles(0.005, 0.1), "muffler", t, size, rate, g)
        found.append((other, case.beside.db))
    if case.wind_db is not None:  # turbulence falls with f^(-5/3) in power (Kolmogorov), gust by gust
        gusts = np.exp(_slow(t, 0.7, g))
        found.append(
            (
                rfft(gusts * irfft(rfft(g.standard_normal(count), size) * f ** (-5 / 6), size)[:count], size),
                case.wind_db,
            )
        )
    if case.speech_db is not None:
        found.append((_babble(t, f, size, rate, g), case.speech_db))
    if case.hum_db is not None:
        mains = 2 * np.pi * g.choice([50.0, 60.0]) * t
        tones = sum(g.uniform(0.1, 1) * np.cos(k * mains + 6.3 * g.random()) for k in (1, 2, 3, 4, 6))
        found.append((rfft(tones, size), case.hum_db))
    return found


def _slow(t: Array, every: float, g: np.random.Generator) -> Array:
    knots = np.arange(0, t[-1] + 2 * every, every)
    return np.interp(t, knots, g.standard_normal(len(knots)))


def _babble(t: Array, f: Array, size: int, rate: float, g: np.random.Generator) -> Array:
    """A few voices at once: sawtooth of a gliding pitch, formants as bumps of the spectrum, syllables."""
    total = np.zeros(len(f), dtype=complex)
    for _ in range(g.integers(1, 5)):
        pitch = g.uniform(85, 240) * np.exp(0.12 * _slow(t, 0.25, g))
        phase = np.cumsum(pitch) / rate
        voiced = (2 * (phase % 1) - 1) * np.clip(_slow(t, 0.12, g), 0, None)
        bumps = sum(
            np.exp(-0.5 * ((f - at) / wide) ** 2)
            for at, wide in ((g.uniform(300, 800), 120), (g.uniform(1000, 2200), 200), (2700, 300))
        )
        total += rfft(voiced, size) * (bumps + 0.02)
    return total


def _phone(sound: Array, case: Case, rate: float, g: np.random.Generator) -> np.ndarray:
    """Telephone band, a gain that follows the level with attack and release, soft stops."""
    if case.phone.telephone:
        size = next_fast_len(len(sound), real=True)
        f = rfftfreq(size, 1 / rate)
        sound = irfft(
            rfft(sound, size) / np.sqrt(1 + (300 / np.maximum(f, 1)) ** 8) / np.sqrt(1 + (f / 3400) ** 12),
            size,
        )[: len(sound)]
    if case.phone.agc:
        sound = sound * _followed(sound, rate, g)
    if case.phone.clipped:
        return np.tanh(sound / np.quantile(np.abs(sound), 0.9)).astype(np.float32)
    return (sound / np.abs(sound).max() * g.uniform(0.2, 0.95)).astype(np.float32)


def _followed(sound: Array, rate: float, g: np.random.Generator) -> Array:
    block = int(0.01 * rate)
    levels = np.sqrt(np.mean(sound[: len(sound) // block * block].reshape(-1, block) ** 2, axis=1)) + 1e-12
    attack, release, strength = g.uniform(0.01, 0.1), g.uniform(0.2, 2.0), g.uniform(0.4, 1.0)
    state, gains = levels[:20].mean(), np.empty(len(levels))
    for i, level in enumerate(levels):
        state += (level - state) * min(0.01 / (attack if level > state else release), 1)
        gains[i] = max(state, 0.03 * levels.max()) ** -strength
    return np.interp(np.arange(len(sound)), (np.arange(len(levels)) + 0.5) * block, gains)


def _rms(sound: Array) -> float:
    return float(np.sqrt(np.mean(sound**2))) + 1e-20
