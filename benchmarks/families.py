"""Judge the reader of sound on families of engines it was not fitted to: how often wrong, how often decided, how dear.

Each family shares no module with another or with the reader (docs/simulator.md). Everything once with the fixed seed
and once with a fresh one, which is printed; `--count` and `--seed` choose. Truth is the turns made in the stretch
answered.
"""

import os
import secrets
import time

import numpy as np

from benchmarks.engines.deal import FIXED, RANGES, SETS, case, cases
from benchmarks.engines.render import FAMILIES, clip_of
from benchmarks.judging import tables
from benchmarks.judging.heard import Task, heard, orders_of, peers_heard
from benchmarks.kept import BENCH, COUNT_VARIABLE, MAKERS, SEED_VARIABLE, Row, rows, share_of, table, verdict
from benchmarks.peers import installed
from snath.formulas.signals.sound import speed_from_sound

COUNT = 1000  # mixed clips a family; of the other sets so many a thousand:
OTHERS = 0.4
TIMED, REPEATS = 25, 2  # clips a family of which the cost is taken, and runs in a row


def main() -> None:
    """Print every table, for the fixed seed and for a fresh one."""
    count = int(os.environ.get(COUNT_VARIABLE) or share_of(COUNT))
    fresh = int(os.environ.get(SEED_VARIABLE) or secrets.randbits(32))
    for name, seed in (("fixed", FIXED), ("fresh", fresh)):
        print(f"\n{RANGES['name']}, {count} mixed clips a family, seed {seed} ({name})", flush=True)
        judged(seed, count)
    cost()


def judged(seed: int, count: int) -> None:
    """Every row for one seed."""
    found = {
        which: of_set(which, seed, count if which == "mixed" else max(int(OTHERS * count), 4))
        for which in SETS
    }
    peers = rows(
        f"families-{len(installed())}-peers-{seed}",
        peers_heard,
        tasks("mixed", seed, count),
        of=(*MAKERS, BENCH / "judging"),
    )
    tables.mixed(found["mixed"])
    tables.frames(found["mixed"], peers)
    for which, show in (
        ("alternating", tables.alternating),
        ("throttled", tables.throttled),
        ("run-down", tables.run_downs),
        ("beside", tables.beside),
        ("wandering", tables.wandering),
    ):
        show(found[which])
    print(
        "\nClips decided wrong, and crashes: family (seed, set, number): what was answered over the truth, with weights"
    )
    for which in SETS:
        tables.worst(found[which])


def tasks(which: str, seed: int, count: int) -> list[Task]:
    """The same tasks for the same seed, family by family."""
    return [Task(family, which, one.seed) for family in FAMILIES for one in cases(which, family, seed, count)]


def of_set(which: str, seed: int, count: int) -> list[Row]:
    """What the reader says of one set of every family."""
    return rows(f"families-{which}-{seed}-{count}", heard, tasks(which, seed, count))


def cost() -> None:
    """Times real time on one core, mixed families, decoding apart, the lesser of two runs."""
    found = rows("families-cost", timed, tasks("mixed", FIXED, share_of(TIMED)), workers=1)
    ratios = np.array([row["seconds"] / row["took"] for row in found])
    together = sum(row["seconds"] for row in found) / sum(row["took"] for row in found)
    table(
        ("clips", "median, times real time", "mean (all sound over all time)", "slowest"),
        [(len(found), f"{np.median(ratios):.0f}", f"{together:.0f}", f"{ratios.min():.0f}")],
        "Cost on one core, nothing else running",
    )
    verdict("median of computing over sound, inverted", 1 / float(np.median(ratios)), 1 / 100)
    verdict("mean", 1 / together, 1 / 60)


def timed(task: Task) -> Row:
    """Processor time of one clip. [s]"""
    one = case(task.which, task.seed)
    clip, orders = clip_of(task.family, one), orders_of(one)
    times: list[float] = []
    for _ in range(REPEATS):
        begun = time.process_time()
        speed_from_sound(clip.samples, clip.rate, orders)
        times.append(time.process_time() - begun)
    return {"seconds": clip.seconds, "took": min(times)}


if __name__ == "__main__":
    main()
