"""Let the reader hear what is no engine, with the sheets of four: nothing may be decided."""

import secrets
from collections.abc import Callable

import numpy as np
from scipy.signal import butter, lfilter, sosfilt

from benchmarks.kept import Row, rows, share_of, table, wilson
from snath.formulas.signals.candidates import Orders
from snath.formulas.signals.sound import speed_from_sound

COUNT, SEED, RATE, SECONDS = 60, 17, 44_100, 5.0  # clips of each kind
SHEETS = {
    "four-stroke single": Orders(875 / 60, 90.0, 2, (0.0,)),
    "even twin": Orders(700 / 60, 90.0, 2, (0.0, 0.5)),
    "uneven twin": Orders(700 / 60, 90.0, 2, (0.0, 0.375)),
    "two-stroke, handheld": Orders(1400 / 60, 15_750 / 60, 1, (0.0,)),
}
Maker = Callable[[np.ndarray, np.random.Generator], np.ndarray]


def _slow(t: np.ndarray, every: float, g: np.random.Generator) -> np.ndarray:
    knots = np.arange(0, t[-1] + 2 * every, every)
    return np.interp(t, knots, g.standard_normal(len(knots)))


def rotor(t: np.ndarray, g: np.random.Generator) -> np.ndarray:
    """Slaps of a helicopter's blades on its turbine's whine."""
    beat = g.uniform(11, 26) * t
    slap = np.exp(-((beat % 1) * g.uniform(8, 30))) * np.sin(2 * np.pi * g.uniform(60, 200) * t)
    return slap + 0.3 * np.sin(2 * np.pi * g.uniform(800, 3000) * t) + 0.3 * g.standard_normal(len(t))


def fan(t: np.ndarray, g: np.random.Generator) -> np.ndarray:
    """Blade tones of an electric fan in rushing air."""
    turn = 2 * np.pi * g.uniform(15, 50) * t * g.integers(3, 8)
    return sum(np.cos(k * turn) / k**2 for k in (1, 2, 3)) + lfilter(
        [1], [1, -0.9], g.standard_normal(len(t))
    )


def speech(t: np.ndarray, g: np.random.Generator) -> np.ndarray:
    """A voice with a gliding pitch, in syllables."""
    phase = np.cumsum(g.uniform(85, 250) * np.exp(0.15 * _slow(t, 0.25, g))) / RATE
    buzz = np.diff(np.floor(phase), prepend=0.0)
    voice = sum(
        lfilter([1], [1, -1.96 * np.cos(2 * np.pi * f / RATE), 0.96], buzz) for f in g.uniform(300, 2800, 3)
    )
    return voice * np.clip(_slow(t, 0.12, g), 0, None) + 1e-4 * g.standard_normal(len(t))


def music(t: np.ndarray, g: np.random.Generator) -> np.ndarray:
    """Plucked notes of a scale over a drum in strict time."""
    total, beat = np.zeros(len(t)), g.uniform(0.15, 0.5)
    for start in np.arange(0, t[-1], beat):
        late = np.clip(t - start, 0, None)
        pitch = 55 * 2 ** (g.choice([0, 2, 4, 7, 9, 12, 16, 19, 24]) / 12)
        total += (
            (t >= start)
            * np.exp(-4 * late)
            * sum(np.sin(2 * np.pi * k * pitch * late) / k for k in (1, 2, 3, 4))
        )
        total += (t >= start) * np.exp(-30 * late) * np.sin(2 * np.pi * 60 * late)
    return total + 0.01 * g.standard_normal(len(t))


def train(t: np.ndarray, g: np.random.Generator) -> np.ndarray:
    """Wheels over joints two by two, in a rumble that swells."""
    at = g.uniform(0.8, 3) * t % 1
    knocks = (np.exp(-at * 40) + np.exp(-np.abs(at - 0.2) * 40)) * g.standard_normal(len(t))
    return knocks + lfilter([1], [1, -0.98], g.standard_normal(len(t))) * 0.3 * (1 + np.sin(t))


def bursts(t: np.ndarray, g: np.random.Generator) -> np.ndarray:
    """Shots in bursts at an even rate."""
    rate = g.uniform(8, 20)
    on = np.sin(2 * np.pi * g.uniform(0.2, 0.6) * t + 6 * g.random()) > -0.3
    crack = np.exp(-(rate * t % 1) / rate * g.uniform(60, 200)) * on
    return crack * g.standard_normal(len(t)) + 0.01 * g.standard_normal(len(t))


def hum(t: np.ndarray, g: np.random.Generator) -> np.ndarray:
    """A transformer's hum that swells and sinks in turn."""
    mains = 2 * np.pi * g.choice([50.0, 60.0]) * t
    tones = sum(g.uniform(0.1, 1) * np.cos(k * mains + 6 * g.random()) for k in (1, 2, 3, 4, 6, 8, 10))
    return tones * (1 + 0.5 * np.sign(np.sin(2 * np.pi * g.uniform(0.5, 5) * t))) + 0.1 * g.standard_normal(
        len(t)
    )


def wind(t: np.ndarray, g: np.random.Generator) -> np.ndarray:
    """Gusts."""
    low = sosfilt(butter(2, g.uniform(80, 600), fs=RATE, output="sos"), g.standard_normal(len(t)))
    return low * np.exp(_slow(t, 0.5, g))


KINDS: dict[str, Maker] = {one.__name__: one for one in (rotor, fan, speech, music, train, bursts, hum, wind)}


def heard(task: tuple[str, int, int]) -> Row:
    """Which sheets are led to a speed by one clip."""
    kind, seed, number = task
    g = np.random.default_rng((seed, number, list(KINDS).index(kind)))
    t = np.arange(round(SECONDS * RATE)) / RATE
    sound = KINDS[kind](t, g)
    samples = (sound / np.abs(sound).max()).astype(np.float32)
    decided = {name: speed_from_sound(samples, RATE, sheet).decided for name, sheet in SHEETS.items()}
    return {"kind": kind, "decided": decided}


def main() -> None:
    """Print the share decided by kind and sheet, for a fixed seed and a fresh one."""
    for seed in (SEED, secrets.randbits(32)):
        tasks = [(kind, seed, number) for kind in KINDS for number in range(share_of(COUNT))]
        found = rows(f"other-sounds-{seed}", heard, tasks)
        lines = []
        for kind in (*KINDS, "all"):
            chosen = [row for row in found if kind in (row["kind"], "all")]
            hits = [sum(row["decided"][name] for row in chosen) for name in SHEETS]
            lines.append((kind, len(chosen), *hits, wilson(sum(hits), len(SHEETS) * len(chosen))))
        table(
            ("sound", "clips", *SHEETS, "decided %"), lines, f"No engine, seed {seed}: at most 0.3 % decided"
        )


if __name__ == "__main__":
    main()
