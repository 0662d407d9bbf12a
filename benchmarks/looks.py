"""Count how often a machine exactly on its limit passes, for one to ten readings and for who stops at the first pass.

Every run draws a true machine within what its sheet says, an instrument within what is known of it, and ten readings
that scatter; the mechanic looks after each. Bound: 5 %, by the one-sided 99 % lower bound of Clopper and Pearson.
Beside it the same runs under a peer, labelled by its method: the t interval of the mean as if it was looked at once.
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.stats import beta, t

from benchmarks import _looking
from benchmarks.kept import share_of, table
from snath.decisions.machine.sheet import read_sheet
from snath.decisions.reading.instruments import Instrument
from snath.decisions.verdict.band import Bench, Way
from snath.decisions.verdict.pools import Tools
from snath.decisions.window.limits import limits_of
from snath.rules.load import shipped_rules

RUNS = 20_000
LOOKS = 10
COUNTED = (1, 2, 3, 5, 8, 10)
MOST = 0.05
LIMIT = 19_000 / 60 * 0.3048  # m/s, 19,000 ft/min
INCH, RPM = 0.0254, 1 / 60
SCATTERS = (1.0, 5.0, 15.0, 30.0)
DIGITS = (1.0, 10.0)
# How it is read: with one tachometer, or with two in turn.
WAYS = {
    "checked": ("checked",),
    "unknown": ("unknown",),
    "stated": ("stated",),
    "two checked": ("checked", "checked"),
    "unknown, checked": ("unknown", "checked"),
    "two stated": ("stated", "stated"),
}
ACCURACY = 0.0005
UNKNOWN = 0.05  # what an instrument nobody described is taken for, at its worse end
ONE_LENGTH = """
name = "one length"
kind = "walk-behind rotary mower"
[engine]
strokes = 4
cylinders = 1
[[member]]
name = "blade"
[member.blade]
length = "21 in ± 1/32 in"
measured = "corner to corner"
"""
ARMS = ONE_LENGTH.replace(
    'length = "21 in ± 1/32 in"', 'arms = ["10 1/2 in ± 1/32 in", "10 1/2 in ± 1/32 in"]'
).replace('measured = "corner to corner"\n', "")
BELTS = (
    ONE_LENGTH.replace("walk-behind", "ride-on")
    .replace("cylinders = 1", 'cylinders = 1\nclutch = "by hand"')
    .replace('name = "blade"', 'name = "blade"\nshaft = "spindle"')
    + """
[[coupling]]
driven = "spindle"
slip_max = "2 %"
[coupling.belt]
section = "A"
driver_outside = "5 in ± 1/64 in"
driven_outside = "5 1/2 in ± 1/64 in"
driver_rides = "flush"
driven_rides = "flush"
"""
)
MACHINES = {"one length": ONE_LENGTH, "arms": ARMS, "belts": BELTS}


@dataclass(frozen=True, slots=True)
class Scene:
    """One case: the machine, how it is read, how single readings scatter and how finely they are shown. [rpm]"""

    machine: str
    way: str
    scatter: float
    digit: float


def scenes() -> list[Scene]:
    """Every case that is counted, the widest scatter first."""
    return [
        Scene(machine, way, scatter, digit)
        for scatter in reversed(SCATTERS)
        for machine in MACHINES
        for way in WAYS
        for digit in DIGITS
    ]


def tip_circle(machine: str, runs: int, rng: np.random.Generator) -> np.ndarray:
    """True tip circles within what the sheet says. [m]"""
    if machine == "arms":
        return 2 * (10.5 * INCH + rng.uniform(-1, 1, (2, runs)).max(axis=0) * INCH / 32)
    return 21 * INCH + rng.uniform(-1, 1, runs) * INCH / 32


def true_limit(machine: str, runs: int, rng: np.random.Generator) -> np.ndarray:
    """Crankshaft speeds at which the true blades are on their limit. [rev/s]"""
    spindle = LIMIT / (math.pi * tip_circle(machine, runs, rng))
    if machine != "belts":
        return spindle
    driver, driven = (size * INCH + rng.uniform(-1, 1, runs) * INCH / 64 for size in (5.0, 5.5))
    offset = rng.choice([0.0, 0.25 * INCH], runs)  # by outside or by datum diameter: nobody knows which
    return spindle * (driven - offset) / (driver - offset)  # no slip: the faster spindle


def shown(scene: Scene, runs: int, rng: np.random.Generator) -> np.ndarray:
    """Ten displayed speeds of each of so many machines on their limit. [rpm]"""
    limit = true_limit(scene.machine, runs, rng)[:, None] / RPM
    seen = np.empty((runs, LOOKS))
    for place, way in enumerate(WAYS[scene.way]):
        off = {
            "checked": rng.uniform(-ACCURACY, ACCURACY, (runs, 1)),
            "unknown": 1 / (1 + UNKNOWN) - 1,
            "stated": 0.0,
        }[way]
        turns = slice(place, None, len(WAYS[scene.way]))
        seen[:, turns] = limit * (1 + off) + rng.normal(0, scene.scatter, seen[:, turns].shape)
    return np.round(seen / scene.digit) * scene.digit


def tool(scene: Scene, way: str, place: int) -> Way:
    """What the shop knows of its tachometer, and what the reader stands for: the scatter of single readings."""
    if way == "unknown":
        return Way(instrument=Instrument(f"U{place}", "tachometer", "other") if place else None)
    stated = scene.scatter * RPM if way == "stated" else None
    known = Instrument(
        f"T{place}",
        "tachometer",
        accuracy=0.0 if stated else ACCURACY,
        resolution=scene.digit * RPM,
        due_on="2099-01-01",
    )
    return Way(instrument=known, stated_u=stated)


def passes(scene: Scene, runs: int, seed: int) -> np.ndarray:
    """For every run, after which of its ten looks it would pass."""
    rng = np.random.default_rng(seed)
    machine = read_sheet(MACHINES[scene.machine])
    rows = limits_of(machine, shipped_rules(), market="US")
    ways = [tool(scene, way, place) for place, way in enumerate(WAYS[scene.way])]
    known = tuple(way.instrument for way in ways if way.instrument is not None)
    bench = Bench(machine, rows, "one-sided 95 %", Tools(known, "2026-01-01"))
    (limit,) = {(one.member, one.rule, one.side, one.kind) for one in rows if one.side == "ceiling"}
    looks = tuple(ways[look % len(ways)] for look in range(LOOKS))
    return _looking.passes(_looking.Asked(bench, limit, looks), shown(scene, runs, rng) * RPM)


def lower_bound(count: int, runs: int) -> float:
    """One-sided 99 % lower bound of a share, after Clopper and Pearson."""
    return float(beta.ppf(0.01, count, runs - count + 1)) if count else 0.0


def once(scatter: float, runs: int, seed: int) -> float:
    """The peer: share that ever passes by the t interval of the mean, taken anew after each of ten readings."""
    seen = np.random.default_rng(seed).normal(0, scatter, (runs, LOOKS))
    counts = np.arange(2, LOOKS + 1)
    ever = np.zeros(runs, bool)
    for count in counts:
        part = seen[:, :count]
        guard = t.ppf(0.95, count - 1) * part.std(axis=1, ddof=1) / math.sqrt(count)
        ever |= part.mean(axis=1) < -guard
    return float(ever.mean())


def told(found: np.ndarray, runs: int) -> dict[str, str]:
    """Shares that pass at each count of looks and at any, and whether their lower bounds keep the promise."""
    ever = int(found.any(axis=1).sum())
    counts = {f"{count}": int(found[:, count - 1].sum()) for count in COUNTED}
    worst = max(ever, *counts.values())
    return {
        **{count: f"{number / runs:.1%}" for count, number in counts.items()},
        "first pass": f"{ever / runs:.1%}",
        "kept": "yes" if lower_bound(worst, runs) <= MOST else "NO",
    }


def row(scene: Scene, runs: int, seed: int) -> dict[str, Any]:
    """Shares that pass in one case, and whether their lower bounds keep the promise."""
    return {
        "machine": scene.machine,
        "read with": scene.way,
        "scatter": f"{scene.scatter:.0f}",
        "digit": f"{scene.digit:.0f}",
        **told(passes(scene, runs, seed), runs),
    }


def main() -> None:
    """Print every case."""
    runs = share_of(RUNS)
    seed = int(np.random.SeedSequence().entropy) % 2**31
    print(f"{runs} runs a case, seed {seed}; share that passes with the truth on the limit")
    rows = []
    for place, scene in enumerate(scenes()):
        rows.append(row(scene, runs, seed + place))
        print(f"{place + 1}: {', '.join(rows[-1].values())}", flush=True)
    table(list(rows[0]), [list(one.values()) for one in rows])
    print(
        f"peer, t interval looked at again after each reading: {once(5.0, runs, seed):.1%} pass at some look"
    )
    print(f"cases beyond {MOST:.0%}: {sum(one['kept'] == 'NO' for one in rows)} of {len(rows)}")


if __name__ == "__main__":
    main()
