"""Draw films from the ranges in film_ranges.toml, have either renderer take them, and read them as a shop would."""

import tomllib
from pathlib import Path

import numpy as np

from benchmarks import _film_disc, _film_pulley
from benchmarks.kept import Row
from snath.decisions.machine.sheet import read_sheet
from snath.shop.media.film import Film
from snath.shop.media.read_film import read_film, whole_film
from snath.shop.media.request import ReadRequest
from snath.shop.media.send_film import coarse

RANGES = tomllib.loads((Path(__file__).parent / "film_ranges.toml").read_text("utf-8"))
RENDERERS = {"disc": _film_disc, "pulley": _film_pulley}
CODED = 4  # of so many pairs of films one goes through a coder, and all whose trouble is the coder
RPM = 1 / 60
WRONG, LISTED = 0.01, 0.01  # shares by which a speed may be off
SHEET = """name = "engine on a stand"
kind = "other"
use = "consumer"
[engine]
strokes = 4
cylinders = 1
governor = "mechanical"
rated_max = "3,600 rpm"
idle = "1,750 rpm"
"""


def scene_of(kind: str, generator: np.random.Generator) -> dict:
    """One film of a kind: numbers alone, as the ranges allow them."""
    drawn = RANGES[kind]

    def between(name: str, log: bool = False) -> float:
        low, high = drawn[name]
        return float(
            np.exp(generator.uniform(np.log(low), np.log(high))) if log else generator.uniform(low, high)
        )

    rate = float(generator.choice(drawn["rates"]))
    marks = int(generator.choice(drawn["marks"]))
    scene = {
        "kind": kind,
        "rate": rate,
        "marks": marks,
        "seconds": min(between("seconds"), RANGES["search"]["frames"] / rate),
        "stamps": str(generator.choice(drawn["stamps"])),
        "jitter_s": min(between("jitter_ms") / 1000, 0.1 / rate if rate < 100 else 0.05 / rate),
        "readout_s": float(generator.uniform(0.1, 0.9)) / rate * (0.6 if rate < 100 else 1),
        "noise": between("noise"),
        "contrast": between("contrast"),
        "quality": round(between("quality")),
        "profile": "steady",
        "play_rate": None,
        "confirmed": None,
        **dict.fromkeys(("lamp_hz", "lamp_depth", "shake", "pumping"), 0.0),
        "shake_hz": (0.5, 9.0),
        "pumping_hz": 1.0,
        "troubles": [],
    }
    scene["exposure_s"] = min(between("exposure_s", log=True), 0.9 / rate)
    if kind == "folds":
        scene["rev_s"] = _near_a_fold(drawn, rate, marks, generator)
        return scene
    if kind == "clean":
        scene["rev_s"] = _off_folds(drawn, rate, marks, generator)
        scene["profile"] = str(generator.choice(drawn["profiles"]))
        return scene
    scene["rev_s"] = between("speeds", log=True) * RPM
    scene["profile"] = str(generator.choice(drawn["profiles"]))
    troubles = [
        one for one in ("lamp", "shake", "pumping", "weak", "coarse") if generator.random() < drawn["chance"]
    ]
    scene["troubles"] = troubles
    if "lamp" in troubles:
        scene["lamp_hz"] = float(generator.choice(drawn["lamps"]) * (1 + generator.uniform(-0.001, 0.001)))
        scene["lamp_depth"] = between("lamp_depth")
    if "shake" in troubles:
        scene["shake"] = between("shake", log=True)
    if "pumping" in troubles:
        scene["pumping"], scene["pumping_hz"] = between("pumping"), between("pumping_hz", log=True)
    if "weak" in troubles:
        scene["contrast"] = between("weak")
    if "coarse" in troubles:
        scene["quality"] = round(between("coarse"))
    if rate > 100 and generator.random() < drawn["slow_motion"]:
        scene["play_rate"] = 30.0
        scene["confirmed"] = bool(generator.random() < drawn["confirmed"])
    return scene


def _near_a_fold(drawn: dict, rate: float, marks: int, generator: np.random.Generator) -> float:
    low, high = (RANGES["search"][end] * RPM for end in ("low", "high"))
    step = rate / 2 / marks
    fold = step * float(generator.integers(np.ceil(low * 1.05 / step), np.floor(high / 1.05 / step) + 1))
    reach = drawn["near_rpm"] if generator.random() < 0.75 else drawn["far_rpm"]
    return fold + float(generator.uniform(-reach, reach)) * RPM


def _off_folds(drawn: dict, rate: float, marks: int, generator: np.random.Generator) -> float:
    while True:
        speed = float(np.exp(generator.uniform(*np.log(drawn["speeds"])))) * RPM
        step = rate / 2 / marks
        if abs((speed / step + 0.5) % 1 - 0.5) * step > drawn["off_fold_rpm"] * RPM:
            return speed


def filmed(task: tuple[str, str, int, int]) -> Row:
    """One film of a kind by a renderer, and what the reader says of it."""
    kind, by, seed, number = task
    generator = np.random.default_rng((seed, number, list(RENDERERS).index(by), list(RANGES).index(kind)))
    scene = scene_of(kind, generator)
    stamps, pictures, grid, turns = RENDERERS[by].render(scene, generator)
    capture = scene["rate"] if scene["confirmed"] else None
    if number // 2 % CODED == 0 or "coarse" in scene["troubles"]:
        seen = whole_film(RENDERERS[by].coded(scene, stamps, pictures, generator))
    else:
        cells = np.stack([coarse(picture) for picture in pictures])
        seen = Film(stamps - stamps[0], cells, capture_rate=None, sound=False, faults=0)
    asked = ReadRequest(kind="light", machine=read_sheet(SHEET), marks=scene["marks"], capture_rate=capture)
    read = read_film(seen, asked, "")
    reading = read.reading
    end = scene["seconds"]

    def true_between(a: float, b: float) -> float:
        first, last = np.interp([a, b], grid, turns)
        return float((last - first) / (b - a))

    truth = true_between(0.0, end)
    held = [abs(one.rev_s / true_between(one.begin, min(one.end, end)) - 1) for one in reading.plateaus]
    off = abs(reading.value.value / truth - 1) if reading.decided else None
    # Where a speed changes, what is named must be one the film had: its mean, or one that was held.
    course = [true_between(a, a + 0.3) for a in np.linspace(0, end - 0.3, 40)]
    return {
        **{
            k: scene[k]
            for k in (
                "kind",
                "rate",
                "marks",
                "stamps",
                "profile",
                "troubles",
                "rev_s",
                "play_rate",
                "confirmed",
            )
        },
        "by": by,
        "number": number,
        "truth": truth,
        "decided": reading.decided,
        "off": off,
        "u": reading.value.u / truth if reading.decided else None,
        "wrong": bool(reading.decided and off > WRONG) or any(one > WRONG for one in held),
        "held": held,
        "listed": any(_near(c, truth, course) for c in reading.candidates),
        "named": len(reading.candidates),
        "speeds": [round(c.rev_s * 60, 1) for c in reading.candidates],
        "why": getattr(reading.why, "code", reading.why),
        "notes": [note.code for note in read.notes[:4]],
    }


def _near(candidate, truth: float, course: list[float]) -> bool:
    """Whether a candidate is the truth: within 1 %, or within its own stated doubt, or a speed that was held."""
    if (
        abs(candidate.rev_s / truth - 1) < LISTED
        or abs(candidate.rev_s - truth) <= 2 * candidate.u < 0.1 * truth
    ):
        return True
    return min(course) * (1 - LISTED) <= candidate.rev_s <= max(course) * (1 + LISTED)
