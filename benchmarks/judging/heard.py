"""Let the reader hear one recording of a family, and set what it said beside what the crankshaft did."""

import traceback
from dataclasses import dataclass
from typing import Any

import numpy as np

from benchmarks.engines.case import Case, Clip
from benchmarks.engines.deal import case as dealt
from benchmarks.engines.render import clip_of
from benchmarks.kept import Row
from benchmarks.peers import installed
from snath.decisions.behaviour.stop_evidence import StopEvidence, stop_evidence
from snath.formulas.signals.candidates import Driven, Orders, Track
from snath.formulas.signals.sound import speed_from_sound
from snath.formulas.signals.sound_result import SoundResult
from snath.quantities.errors import InputError

FRAME = 0.1  # s
EDGE = 0.25  # s at both ends left out for everybody
GROSS = 0.04  # a frame further off is gross, a missing one too
WRONG = 0.01  # a decided clip further off is wrong
OVER_RATED, SLIP, DOUBT = 1.5, 0.05, 0.01  # of a sheet's range, and of a ratio on paper
STOP_LIMIT = 3.0  # s, 16 CFR 1205.5(a)(1)(iii)
U_RELEASE = 0.1  # s


@dataclass(frozen=True, slots=True)
class Task:
    """One recording to be heard; by peers or by ours."""

    family: str
    which: str
    seed: tuple[int, ...]


def orders_of(case: Case) -> Orders:
    """What a sheet with idle, rated speed and ratios tells the reader: half of idle to 1.5 times the rated speed."""
    part, engine = case.part, case.engine
    driven: tuple[Driven, ...] = ()
    if part is not None and part.nominal == 1.0:
        driven = (Driven(1.0, 1.0, part.tips),)
    elif part is not None:
        driven = (Driven(part.nominal * (1 - SLIP), part.nominal * (1 + DOUBT), part.tips),)
    return Orders(engine.idle / 2, OVER_RATED * engine.rated, engine.turns, engine.firings, driven)


def heard(task: Task) -> Row:
    """What the reader says of one recording; a crash is a row, too."""
    case = dealt(task.which, task.seed)
    clip = clip_of(task.family, case)
    row: Row = {"family": task.family, "seed": task.seed, **facts(case, clip)}
    try:
        result = speed_from_sound(clip.samples, clip.rate, orders_of(case))
        row |= {**said(result, clip), "frames": frames(on_track(result.track, clip), case, clip)}
        row["stop"] = stopped(result.track)
        if task.which == "wandering":
            row["halves"] = halves(case, clip)
    except Exception:
        row |= {"crash": traceback.format_exc(limit=-3)}
    return row


def facts(case: Case, clip: Clip) -> Row:
    """What is true of a recording."""
    speed = clip.speed_at(frame_times(clip))
    firing = frame_times(clip) < clip.released_s
    octave_inside = case.course.rev_s / 2 >= case.engine.idle / 2
    return {
        "tags": case.tags,
        "seconds": clip.seconds,
        "even_twin": case.engine.even and len(case.engine.firings) > 1,
        "half_inside": bool(octave_inside),
        "beside_rev_s": case.beside.rev_s if case.beside else None,
        "true_low": float(speed[firing].min()),
        "true_high": float(speed[firing].max()),
        "true_release": clip.released_s if np.isfinite(clip.released_s) else None,
        "true_stop": clip.still_s - clip.released_s if np.isfinite(clip.still_s) else None,
        "true_ratio": case.part.ratio if case.part else None,
    }


def said(result: SoundResult, clip: Clip) -> Row:
    """The answer beside the turns made in the stretch it is for."""
    start, end = stretch(result, clip)
    mean = clip.speed_over(start, end)
    steady = result.steady
    ours = frame_times(clip)
    inside = ours < clip.released_s
    covered = None
    if result.low is not None and result.high is not None:
        speed = clip.speed_at(ours[inside])
        covered = float(np.mean((speed >= result.low) & (speed <= result.high)))
    return {
        "crash": None,
        "decided": bool(result.decided and steady is not None),
        "off": None if steady is None else steady.value / mean - 1,
        "u": None if steady is None else steady.u / steady.value,
        "rev_s": None if steady is None else steady.value,
        "mean": mean,
        "stretch": [start, end],
        "low": result.low,
        "high": result.high,
        "covered": covered,
        "candidates": [[one.rev_s / mean, one.weight] for one in result.candidates[:6]],
        "named": any(abs(one.rev_s / mean - 1) < WRONG for one in result.candidates),
        "ratio": None if result.driven_ratio is None else result.driven_ratio.value,
        "released": release_of(result.track),
        "notes": [note.code for note in result.notes],
    }


def stretch(result: SoundResult, clip: Clip) -> tuple[float, float]:
    """The stretch an answer is for: as stated, else from the first to the last of its track before a release. [s]"""
    stated: Any = getattr(result, "stretch", None)
    if stated is not None:
        return float(stated[0]), float(stated[1])
    if not result.track.t_s:
        return 0.0, clip.seconds
    released = release_of(result.track)
    first = max(result.track.t_s[0] - FRAME / 2, 0.0)
    last = min(result.track.t_s[-1] + FRAME / 2, clip.seconds, clip.seconds if released is None else released)
    return (first, last) if last > first + FRAME else (0.0, clip.seconds)


def release_of(track: Track) -> float | None:
    """When a track says it was let go. [s]"""
    return min((event.t_s for event in track.events if event.kind == "release"), default=None)


def frame_times(clip: Clip) -> np.ndarray:
    """Moments at which everybody is asked for the speed. [s]"""
    return np.arange(EDGE, clip.seconds - EDGE + 1e-9, FRAME)


def on_track(track: Track, clip: Clip) -> np.ndarray:
    """Speed of a track at every frame, empty where it has none within 0.15 s. [rev/s]"""
    at = frame_times(clip)
    if not track.t_s:
        return np.full(len(at), np.nan)
    t = np.array(track.t_s)
    far = np.abs(t[None, :] - at[:, None]).min(axis=1) > 0.15
    return np.where(far, np.nan, np.interp(at, t, track.rev_s))


def frames(speed: np.ndarray, case: Case, clip: Clip) -> Row:
    """Frames and gross frames while it fires, and apart while it coasts; under the sheet's range nobody is asked."""
    at = frame_times(clip)
    truth = clip.speed_at(at)
    off = np.abs(speed / np.maximum(truth, 1e-9) - 1)
    bad = ~(off <= GROSS)
    wanted = truth >= case.engine.idle / 2
    fires, coasts = wanted & (at < clip.released_s), wanted & (at >= clip.released_s)
    return {
        "n": int(fires.sum()),
        "gross": int(bad[fires].sum()),
        "coasting": int(coasts.sum()),
        "coasting_gross": int(bad[coasts].sum()),
    }


def stopped(track: Track) -> Row:
    """What a stop test would make of the track, sound being trusted: pass, fail or undecided at 3 s."""
    try:
        found = stop_evidence(track, u_release=U_RELEASE, u_standstill=0.0, braked=False)
    except InputError:
        return {"word": "undecided", "earliest": None, "latest": None}
    bounded = np.isfinite(found.latest) and found.value is not None
    return {
        "word": _word(found),
        "earliest": found.earliest if bounded else None,
        "latest": found.latest if bounded else None,
    }


def _word(found: StopEvidence) -> str:
    if found.still_turning > STOP_LIMIT or (found.earliest > STOP_LIMIT and found.value is not None):
        return "fail"
    return "pass" if found.released and found.latest <= STOP_LIMIT else "undecided"


def halves(case: Case, clip: Clip) -> Row | None:
    """What the two halves are read as, where both give one speed."""
    half = len(clip.samples) // 2
    read = [
        speed_from_sound(x, clip.rate, orders_of(case)) for x in (clip.samples[:half], clip.samples[half:])
    ]
    if any(one.steady is None for one in read):
        return None
    first, second = (one.steady for one in read)
    return {"apart": float(abs(first.value - second.value) / np.hypot(first.u, second.u))}  # type: ignore[union-attr]


def peers_heard(task: Task) -> Row:
    """Frames of every peer; each is told the range and how often the engine fires."""
    case = dealt(task.which, task.seed)
    clip = clip_of(task.family, case)
    engine, sheet = case.engine, orders_of(case)
    repeats = len(engine.firings) / engine.turns if engine.even else 1 / engine.turns
    at, samples = frame_times(clip), clip.samples.astype(float)
    row: Row = {}
    for name, method in installed().items():
        pitch = method(samples, clip.rate, at, sheet.rev_s_low * repeats, sheet.rev_s_high * repeats)
        row[name] = frames(pitch / repeats, case, clip)
    return row
