"""How well does it hear speed, beside general pitch libraries on the same 1,000 simulated clips?

Truth is the simulated crankshaft's own angle. The clips come from the frozen difficulty table.
"""

import secrets
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from benchmarks.bound import comb_bound
from benchmarks.clips import FACTORS, TABLE, Clip, clips
from benchmarks.kept import Row, bounds, rms, rows, share_of, table, verdict
from benchmarks.peers import installed
from benchmarks.simulator.engine import Scene, Take, record
from snath.formulas.signals.candidates import Orders, Track
from snath.formulas.signals.sound import speed_from_sound
from snath.formulas.signals.sound_result import SoundResult

FRAME_S = 0.1
GROSS = 0.04  # a frame further off than this is gross, a missing one too
WRONG = 0.01  # a decided clip further off than this is wrong
OPEN = Orders(700 / 60, 15_000 / 60)  # without a sheet
FRESH = 250
TIMED, PASSES, REPEATS = 60, 4, 2  # clips of which the cost is taken, passes over all, runs in a row
MORE, MORE_SEED = 2000, 60226  # further clips, ours alone, by which intervals are judged
EDGE = 0.25  # s at both ends left out for everybody
STEADY_KINDS = ("steady", "drift", "ramp", "hunting", "step")


def frame_times(seconds: float) -> np.ndarray:
    """Moments at which everybody is asked for the speed. [s]"""
    return np.arange(EDGE, seconds - EDGE + 1e-9, FRAME_S)


def on_track(track: Track, at: np.ndarray) -> np.ndarray:
    """Speed of a track at these moments, empty where it has none within 0.15 s. [rev/s]"""
    if not track.t_s:
        return np.full(len(at), np.nan)
    t, speed = np.array(track.t_s), np.array(track.rev_s)
    found = np.interp(at, t, speed)
    far = np.abs(t[None, :] - at[:, None]).min(axis=1) > 0.15
    return np.where(far, np.nan, found)


def heard(clip: Clip) -> Row:
    """Everything one clip gives: ours with and without a sheet, and every peer's frames."""
    take = clip.take()
    samples = take.samples.astype(np.float32)
    seconds = TABLE["seconds"]
    at = frame_times(seconds)
    truth = take.ride.governed_at(at)
    wanted = truth >= clip.sheet.rev_s_low  # slower than anybody was asked to look: left out for everybody
    stretch = min(seconds, take.ride.release_s)
    mean = take.ride.speed_over(0, stretch)
    meant = governed_mean(take, stretch)
    row: Row = {"cells": clip.cells, "mean": mean, "meant": meant, "frames": int(wanted.sum())}
    for name, orders in (("sheet", clip.sheet), ("bare", OPEN)):
        result = speed_from_sound(samples, take.rate, orders)
        off = on_track(result.track, at)[wanted] / truth[wanted] - 1
        row[name] = {
            **stated(result, take, mean),
            "named": any(abs(c.rev_s / mean - 1) < WRONG for c in result.candidates),
            "ratio": None if result.driven_ratio is None else result.driven_ratio.value,
            **frames_of(off),
        }
    row["true_ratio"] = clip.scene.blade.ratio if clip.scene.blade else None
    fundamental = fires_at(clip)
    low, high = clip.sheet.rev_s_low * fundamental, clip.sheet.rev_s_high * fundamental
    for name, method in installed().items():
        pitch = method(take.samples.astype(float), take.rate, at, low, high)
        off = pitch[wanted] / fundamental / truth[wanted] - 1
        row[name] = {**frames_of(off), "off": _median_off(pitch / fundamental, mean)}
    return row


def ours(clip: Clip) -> Row:
    """What one clip gives with a sheet, as far as stated intervals are concerned."""
    take = clip.take()
    stretch = min(TABLE["seconds"], take.ride.release_s)
    mean = take.ride.speed_over(0, stretch)
    result = speed_from_sound(take.samples.astype(np.float32), take.rate, clip.sheet)
    sheet = stated(result, take, mean)
    return {"cells": clip.cells, "mean": mean, "meant": governed_mean(take, stretch), "sheet": sheet}


def stated(result: SoundResult, take: Take, mean: float) -> Row:
    """The steady speed, how far it is off the turns made, and what it says of its own doubt."""
    steady = result.steady
    return {
        "decided": result.decided,
        "off": None if steady is None else steady.value / mean - 1,
        "u": None if steady is None else steady.u / steady.value,
        "read": governed_mean(take, read_until(result)),
    }


def governed_mean(take: Take, until: float) -> float:
    """Mean over time of the governed speed, from the beginning. [rev/s]"""
    return float(np.mean(take.ride.governed_at(np.linspace(0, until, 2000))))


def read_until(result: SoundResult) -> float:
    """Where the stretch ends over which a result gives its steady speed. [s]"""
    return min((e.t_s for e in result.track.events if e.kind == "release"), default=result.duration)


def _median_off(speed: np.ndarray, mean: float) -> float | None:
    known = speed[np.isfinite(speed)]
    return float(np.median(known) / mean - 1) if len(known) else None


def fires_at(clip: Clip) -> float:
    """Periods of its sound in a turn: peers are told what repeats, so that a multiple is not held against them."""
    firings, turns = clip.scene.firings, clip.scene.cycle_turns
    even = np.allclose(np.diff(firings), 1 / len(firings))
    return len(firings) / turns if even else 1 / turns


def frames_of(off: np.ndarray) -> Row:
    """Gross frames and the absolute errors of all of them, a missing one counted as 100 %."""
    size = np.where(np.isfinite(off), np.abs(off), 1.0)
    return {"gross": int((size > GROSS).sum()), "sizes": [round(float(s), 6) for s in size]}


def main() -> None:
    """Print all the tables."""
    seed = secrets.randbits(32)
    fixed = rows(f"sound-{len(installed())}-peers", heard, list(clips())[: share_of(TABLE["clips"])])
    print(f"{TABLE['name']}: {len(fixed)} clips of {TABLE['seconds']:g} s, seed {TABLE['seed']}")
    frames_table(fixed)
    decided_table(fixed)
    cells_table(fixed)
    coverage_table(fixed)
    ratio_table(fixed)
    fresh = rows(f"sound-{len(installed())}-peers-{seed}", heard, list(clips(seed, share_of(FRESH))))
    print(f"\nAs many as {len(fresh)} clips from a fresh seed, {seed}:")
    frames_table(fresh)
    decided_table(fresh)
    print(
        f"\n{share_of(MORE)} further clips, seed {MORE_SEED}, ours alone, so that chance moves coverage less:"
    )
    coverage_table(rows(f"sound-own-{MORE_SEED}", ours, list(clips(MORE_SEED, share_of(MORE)))))
    bound_table()
    user_table()
    speed_table()


def frames_table(found: Sequence[Row]) -> None:
    """Frames by method and by profile."""
    methods = ["sheet", *installed()]
    groups: list[tuple[str, Callable[[Row], bool]]] = [
        ("all but run-down", lambda r: r["cells"]["profile"] != "run-down"),
        *((p, lambda r, p=p: r["cells"]["profile"] == p) for p in TABLE["profile"]),  # type: ignore[misc]
    ]
    lines = []
    for title, wanted in groups:
        chosen = [r for r in found if wanted(r)]
        for method in methods:
            sizes = np.concatenate([r[method]["sizes"] for r in chosen]) if chosen else np.zeros(1)
            name = "ours, with a sheet" if method == "sheet" else method
            middle, tail = np.quantile(sizes, [0.5, 0.9])
            lines.append(
                (
                    title,
                    name,
                    f"{100 * middle:.3f}",
                    f"{100 * tail:.2f}",
                    f"{100 * np.mean(sizes > GROSS):.2f}",
                )
            )
            title = ""
    table(
        ("frames", "method", "median %", "90th %", "gross %"),
        lines,
        "Frames of 0.1 s (a missing one is gross)",
    )
    ours = np.concatenate([r["sheet"]["sizes"] for r in found if r["cells"]["profile"] != "run-down"])
    verdict("frames over 4 % off", 100 * float(np.mean(ours > GROSS)), 0.5, " %")
    for profile, most in (("run-down", 6.0), ("hunting", 0.2)):
        sizes = np.concatenate(
            [r["sheet"]["sizes"] for r in found if r["cells"]["profile"] == profile] or [[0.0]]
        )
        if profile == "run-down":
            verdict("run-down frames over 4 % off", 100 * float(np.mean(sizes > GROSS)), most, " %")
        else:
            verdict("median error of a frame while hunting", 100 * float(np.median(sizes)), most, " %")


def decided_table(found: Sequence[Row]) -> None:
    """Decided and wrong, with and without a sheet."""
    lines = []
    for name, title in (("sheet", "with a sheet"), ("bare", "without")):
        decided = [r for r in found if r[name]["decided"]]
        wrong = [r for r in decided if abs(r[name]["off"]) > WRONG]
        named = sum(r[name]["named"] for r in found)
        lines.append(
            (
                title,
                len(found),
                bounds(len(decided), len(found)),
                bounds(len(wrong), len(found)),
                bounds(named, len(found)),
            )
        )
    table(("clips", "n", "decided % [95 %]", "decided and wrong % [95 %]", "truth named %"), lines)
    wrong = {
        n: sum(r[n]["decided"] and abs(r[n]["off"]) > WRONG for r in found) / len(found)
        for n in ("sheet", "bare")
    }
    verdict("decided and over 1 % off, with a sheet", 100 * wrong["sheet"], 0.5, " %")
    verdict("decided and over 1 % off, without", 100 * wrong["bare"], 2.0, " %")
    loud = [r for r in found if float(r["cells"]["snr_db"]) >= 0]
    verdict(
        "undecided at 0 dB or better, with a sheet",
        100 * (1 - np.mean([r["sheet"]["decided"] for r in loud])),
        5,
        " %",
    )
    off = [abs(r["sheet"]["off"]) for r in found if r["sheet"]["decided"]]
    verdict("median error of the steady speed", 100 * float(np.median(off)), 0.05, " %")
    peers = installed()
    if peers:
        lines = []
        for name in peers:
            got = [abs(r[name]["off"]) if r[name]["off"] is not None else 1.0 for r in found]
            lines.append((name, f"{100 * np.median(got):.3f}", f"{100 * np.mean(np.array(got) > WRONG):.1f}"))
        lines.insert(0, ("ours, with a sheet, decided or not", *_ours(found)))
        table(("one figure a clip", "median %", "over 1 % off, %"), lines)


def _ours(found: Sequence[Row]) -> tuple[str, str]:
    got = np.array([abs(r["sheet"]["off"]) if r["sheet"]["off"] is not None else 1.0 for r in found])
    return f"{100 * np.median(got):.3f}", f"{100 * np.mean(got > WRONG):.1f}"


def cells_table(found: Sequence[Row]) -> None:
    """The same for every level of every factor, with a sheet."""
    lines = []
    for factor in ("engine", *FACTORS):
        for level in dict.fromkeys(sorted((r["cells"][factor] for r in found), key=str)):
            chosen = [r for r in found if r["cells"][factor] == level]
            decided = [r["sheet"] for r in chosen if r["sheet"]["decided"]]
            wrong = sum(abs(d["off"]) > WRONG for d in decided)
            middle = f"{100 * np.median([abs(d['off']) for d in decided]):.3f}" if decided else "-"
            lines.append(
                (
                    f"{factor}: {level}",
                    len(chosen),
                    bounds(len(decided), len(chosen)),
                    bounds(wrong, len(chosen)),
                    middle,
                )
            )
    table(("cell", "n", "decided % [95 %]", "wrong % [95 %]", "median %"), lines, "Cells, with a sheet")


def coverage_table(found: Sequence[Row]) -> None:
    """How often stated 95 % intervals cover the speed the governor meant, and how wide they are.

    The budget speaks of that speed: the jitter of single cycles is a part of it. The turns really made in
    the clip are a second truth, which an interval that allows for jitter covers more often.
    """
    lines = []
    for profile in TABLE["profile"]:
        chosen = [r for r in found if r["cells"]["profile"] == profile and r["sheet"]["decided"]]
        own = [r["sheet"] for r in chosen]
        speed = np.array([(1 + r["sheet"]["off"]) * r["mean"] for r in chosen])
        half = 1.96 * np.array([one["u"] for one in own])
        covered = [
            int(np.sum(np.abs(speed / np.array(truth) - 1) <= half))
            for truth in (
                [r["meant"] for r in chosen],
                [one["read"] for one in own],
                [r["mean"] for r in chosen],
            )
        ]
        wide = f"{100 * np.median(half):.3f}" if own else "-"
        lines.append((profile, len(own), *(bounds(hits, len(own)) for hits in covered), wide))
    head = (
        "situation",
        "n",
        "covers the governed speed, %",
        "over what it read, %",
        "turns made, %",
        "median half width %",
    )
    title = (
        "Stated 95 % intervals, with a sheet. The truth is the mean over time of the governed speed,"
        "\nto the end of the clip or to the release: while it drifts, climbs, hunts or steps, the mean of all that."
        "\nBeside it the same over the stretch that was read, and the turns really made over the time."
    )
    table(head, lines, title)


def ratio_table(found: Sequence[Row]) -> None:
    """The drive ratio that was heard beside the true one, by loudness of the blade."""
    lines = []
    for level in TABLE["blade_level_db"]:
        chosen = [r for r in found if r["cells"]["blade"] == "belt" and r["cells"]["blade_level_db"] == level]
        told = [
            abs(r["sheet"]["ratio"] / r["true_ratio"] - 1) for r in chosen if r["sheet"]["ratio"] is not None
        ]
        middle = f"{100 * np.median(told):.3f}" if told else "-"
        far = bounds(sum(t > 0.003 for t in told), len(told))
        lines.append((f"{level} dB beside the engine", len(chosen), len(told), middle, far))
    table(("blade through a belt", "n", "heard", "median %", "over 0.3 % off, %"), lines, "Drive ratio")


def speed_table() -> None:
    """Computing time of every method, decoding apart: nothing else runs, the least of some runs counts.

    They lie minutes apart, as a machine shared with others is slower for seconds at a time.
    """
    found = rows("sound-cost", spent_on, list(clips())[: share_of(TIMED)] * PASSES, workers=1)
    spent = {
        name: np.reshape([row[name] for row in found], (PASSES, -1)).min(axis=0).tolist() for name in found[0]
    }
    lines = []
    for method, times in spent.items():
        middle, mean = float(np.median(times)), float(np.mean(times))
        lines.append(
            (method, f"{1000 * middle:.1f}", f"{1000 * mean:.1f}", f"{TABLE['seconds'] / middle:.0f}")
        )
    table(
        ("method", "median ms a clip", "mean", "times real time"),
        lines,
        "Cost on one core, nothing else running",
    )
    second = 1000 * float(np.median(spent["sheet"])) / TABLE["seconds"]
    verdict("computing for a second of sound", second, 1000 / 300, " ms")


def spent_on(clip: Clip) -> Row:
    """Processor time of every method for one clip. [s]"""
    take = clip.take()
    samples = take.samples.astype(np.float32)
    row: Row = {
        name: _least_time(speed_from_sound, samples, take.rate, orders)
        for name, orders in (("sheet", clip.sheet), ("bare", OPEN))
    }
    at, fundamental = frame_times(TABLE["seconds"]), fires_at(clip)
    low, high = clip.sheet.rev_s_low * fundamental, clip.sheet.rev_s_high * fundamental
    for name, method in installed().items():
        row[name] = _least_time(method, take.samples.astype(float), take.rate, at, low, high)
    return row


def _least_time(method: Callable[..., Any], *given: Any) -> float:
    """Least processor time of some runs. [s]"""
    times = []
    for _ in range(REPEATS):
        begun = time.process_time()
        method(*given)
        times.append(time.process_time() - begun)
    return min(times)


@dataclass(frozen=True, slots=True)
class Line:
    """One clip of the bound's table."""

    snr_db: float
    seed: int
    seconds: float
    rpm: float = 3240.0
    rate: float = 8000.0


LINES = np.array([0.02, 0.03, 0.05, *(0.9 ** np.arange(17))])  # of the cycle; the lowest three nearly absent


def bound_clip(line: Line) -> Row:
    """Our error on a steady comb in white noise, and the bound of any method."""
    generator = np.random.default_rng((line.seed, int(line.snr_db) + 100, int(10 * line.seconds)))
    speed = line.rpm / 60 * (1 + generator.uniform(-0.01, 0.01))
    t = np.arange(round(line.rate * line.seconds)) / line.rate
    orders = 0.5 * np.arange(1, len(LINES) + 1)
    phases = generator.uniform(0, 2 * np.pi, len(LINES))
    clean = sum(
        a * np.cos(2 * np.pi * k * speed * t + p) for a, k, p in zip(LINES, orders, phases, strict=True)
    )
    noise = float(np.sqrt(np.mean(np.asarray(clean) ** 2))) * 10 ** (-line.snr_db / 20)
    noisy = clean + noise * generator.standard_normal(len(t))
    result = speed_from_sound(noisy.astype(np.float32), line.rate, Orders(20.0, 80.0, 2, (0.0,)))
    bound = comb_bound(amplitudes=LINES, orders=orders, noise=noise, samples=len(t), rate=line.rate)
    off = None if result.steady is None else result.steady.value - speed
    return {"snr_db": line.snr_db, "seconds": line.seconds, "off": off, "bound": bound}


def bound_table() -> None:
    """RMS error over the Cramer-Rao bound on 400 clips each."""
    tasks = [
        Line(snr, seed, s)
        for s in (5.0, 1.0)
        for snr in (20.0, 10.0, 0.0, -5.0)
        for seed in range(share_of(400))
    ]
    found = rows("bound", bound_clip, tasks)
    lines = []
    for seconds in (5.0, 1.0):
        for snr in (20.0, 10.0, 0.0, -5.0):
            chosen = [r for r in found if r["snr_db"] == snr and r["seconds"] == seconds]
            gross = sum(r["off"] is None or abs(r["off"]) > WRONG * 54 for r in chosen)
            near = [r["off"] for r in chosen if r["off"] is not None and abs(r["off"]) <= WRONG * 54]
            bound = rms(r["bound"] for r in chosen)
            lines.append(
                (
                    f"{seconds:g} s at {snr:g} dB",
                    len(chosen),
                    gross,
                    f"{60 * bound:.4f}",
                    f"{60 * rms(near):.4f}",
                    f"{rms(near) / bound:.3f}",
                )
            )
    title = "Steady comb in white noise, lines 1 to 3 nearly absent"
    table(("clips", "n", "gross", "bound rpm", "RMS rpm", "RMS over bound"), lines, title)


def user_clip(task: tuple[float, int]) -> Row:
    """A steady engine with cycle jitter, as a shop records it."""
    snr, seed = task
    generator = np.random.default_rng((seed, int(snr) + 100, 7))
    scene = Scene(rev_s=float(generator.uniform(25, 60)), snr_db=snr)
    take = record(scene, generator)
    result = speed_from_sound(take.samples, take.rate, Orders(875 / 60, 90.0, 2, (0.0,)))
    mean = take.ride.speed_over(0, scene.seconds)
    off = None if result.steady is None else result.steady.value / mean - 1
    return {
        "snr_db": snr,
        "off": off,
        "meant": scene.rev_s / mean - 1,
        "decided": result.decided,
        "u": result.steady.u / mean if result.steady else None,
    }


def user_table() -> None:
    """What a user gets: RMS error with cycle jitter, decided clips."""
    tasks = [(snr, seed) for snr in (20.0, 10.0, 0.0, -5.0) for seed in range(share_of(400))]
    found = rows("user", user_clip, tasks)
    lines: list[tuple[Any, ...]] = []
    for snr in (20.0, 10.0, 0.0, -5.0):
        chosen = [r for r in found if r["snr_db"] == snr]
        decided = [r for r in chosen if r["decided"]]
        covered = sum(abs(r["off"] - r["meant"]) <= 1.96 * r["u"] for r in decided)
        lines.append(
            (
                f"{snr:g} dB",
                len(chosen),
                len(decided),
                f"{100 * rms(r['off'] for r in decided):.4f}",
                bounds(covered, len(decided)),
            )
        )
    table(
        (
            "steady engine, 0.5 % jitter",
            "n",
            "decided",
            "RMS of the turns made %",
            "covers the governed speed % [95 %]",
        ),
        lines,
    )
    for snr, most in ((0.0, 0.05), (-5.0, 0.1)):
        decided = [r["off"] for r in found if r["snr_db"] == snr and r["decided"]]
        verdict(f"RMS error at {snr:g} dB with cycle jitter", 100 * rms(decided), most, " %")


if __name__ == "__main__":
    main()
