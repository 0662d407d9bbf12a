"""A fleet in one go: 5,000 invented machines in, worked here and on dask with two workers, one of them killed."""

import io
import os
import secrets
import signal
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
import openpyxl
import psutil

from benchmarks.kept import SEED_VARIABLE, share_of, table, verdict
from snath.shop.batch.spread import Crew, Where
from snath.shop.fleet.machine import FleetMachine
from snath.shop.fleet.run import work_fleet
from snath.shop.fleet.sheets import fleet_of
from snath.shop.fleet.worked import Asked, Row

MACHINES, IN_A_MINUTE = 5_000, 60.0
HEAD = (
    *("number", "machine", "serial", "kind", "clutch", "rated_max", "blade", "blade measured", "belt"),
    *("engine pulley", "blade pulley", "reading", "u", "read on"),
)
ASKED = Asked(today="2026-11-30", market="US")


def invented(count: int, seed: int) -> list[list[Any]]:
    """Push mowers and riders of many sizes, most of them read once; every number is invented."""
    rng = np.random.default_rng(seed)
    rows: list[list[Any]] = []
    for at in range(count):
        rides = bool(rng.random() < 0.5)
        blade = float(rng.integers(72, 116)) / 4 if rides else float(rng.integers(72, 92)) / 4
        drive = ["A", 4, float(rng.integers(18, 25)) / 4] if rides else ["", "", ""]
        read = rng.random() < 0.8
        day = f"20{rng.integers(24, 27)}-{rng.integers(1, 12):02d}-{rng.integers(1, 29):02d}"
        rows.append(
            [
                at + 1,
                "Rider" if rides else "Push",
                f"S{at:05d}",
                "ride-on rotary mower" if rides else "walk-behind rotary mower",
                "by hand" if rides else "none",
                3600,
                blade,
                "corner to corner",
                *drive,
                int(rng.integers(2800, 3700)) if read else "",
                5 if read else "",
                day if read else "",
            ]
        )
    return rows


def written(rows: list[list[Any]], folder: Path) -> tuple[Path, Path]:
    """The machines as CSV and as a spreadsheet."""
    plain, book = folder / "fleet.csv", folder / "fleet.xlsx"
    lines = [";".join(map(str, row)) for row in (HEAD, *rows)]
    plain.write_text("\n".join(lines) + "\n", "utf-8")
    made = openpyxl.Workbook(write_only=True)
    sheet = made.create_sheet("fleet")
    for row in (list(HEAD), *rows):
        sheet.append([None if cell == "" else cell for cell in row])
    made.save(book)
    return plain, book


def timed(work: Callable[[], Any], clock: Callable[[], float] = time.perf_counter) -> tuple[float, Any]:
    """Seconds, and what came of it."""
    begun = clock()
    found = work()
    return clock() - begun, found


def cells_alone(book: Path) -> int:
    """The peer: openpyxl going through the same cells and doing nothing with them."""
    opened = openpyxl.load_workbook(io.BytesIO(book.read_bytes()), read_only=True)
    return sum(len(row) for row in opened.active.iter_rows(values_only=True))


def read_in(plain: Path, book: Path, count: int) -> tuple[FleetMachine, ...]:
    """Seconds until every machine is read and checked."""
    peer, _ = timed(lambda: cells_alone(book), time.process_time)
    lines, slowest, machines = [], 0.0, ()
    for path in (plain, book):
        took, found = timed(lambda path=path: fleet_of([path]), time.process_time)
        machines = found.machines
        slowest = max(slowest, took * MACHINES / count)
        lines.append(
            (path.suffix, len(machines), len(found.faults), f"{took:.1f}", f"{took / max(peer, 1e-9):.1f}")
        )
    table(
        ("from", "machines", "faults", "processor s", "times openpyxl alone"),
        lines,
        "read in and checked",
    )
    verdict(f"{MACHINES} machines in", slowest, IN_A_MINUTE, " s")
    return machines


def worker_of(where: str) -> psutil.Process:
    """One process that does the work."""
    below = psutil.Process().children(recursive=True)
    working = [
        one for one in below if not one.children() and "resource_tracker" not in " ".join(one.cmdline())
    ]
    return max(working, key=lambda one: (one.cpu_times().user, one.pid)) if where == "dask" else working[-1]


def killing(where: str, at: int) -> Callable[[int, int], None]:
    """End one worker once so many rows are there."""
    killed: list[int] = []

    def tell(done: int, total: int) -> None:
        del total
        if done == at and not killed:
            victim = worker_of(where)
            killed.append(victim.pid)
            os.kill(victim.pid, signal.SIGKILL)

    return tell


def worked(machines: tuple[FleetMachine, ...]) -> None:
    """The same rows from everywhere, and seconds a thousand."""
    runs: tuple[tuple[str, Where, int, bool], ...] = (
        ("one process", "here", 1, False),
        ("two processes", "here", 2, False),
        ("two processes, one killed", "here", 2, True),
        ("dask, two workers", "dask", 2, False),
        ("dask, two workers, one killed", "dask", 2, True),
    )
    lines, first, unlike, alone = [], list[Row](), 0, 1.0
    for name, where, workers, kill in runs:
        tell = killing(where, len(machines) // 4) if kill else None
        took, rows = timed(partial(work_fleet, machines, ASKED, Crew(where, workers), tell=tell))
        first, alone = (first or rows), (alone if first else took)
        unlike += rows != first
        thousand = 1000 * took / len(machines)
        lines.append((name, len(rows), f"{took:.1f}", f"{thousand:.1f}", f"{alone / took:.2f}"))
    table(
        ("worked by", "machines", "s", "s a thousand", "times as fast as one process"),
        lines,
        "a window each, and a verdict on the speed of those that were read",
    )
    verdict("runs whose rows differ from those of one process", unlike, 0)


def main() -> None:
    """Print all the tables."""
    count = share_of(MACHINES)
    seed = int(os.environ.get(SEED_VARIABLE) or secrets.randbits(32))
    print(f"seed {seed}")
    with tempfile.TemporaryDirectory() as folder:
        machines = read_in(*written(invented(count, seed), Path(folder)), count)
    worked(machines)


if __name__ == "__main__":
    main()
