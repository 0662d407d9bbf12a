"""Rows that are worked out once and kept, and tables to print them."""

import json
import os
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from functools import cache
from hashlib import sha256
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np
from scipy.stats import beta

ROOT = Path(__file__).parents[1]
KEPT = ROOT / "out" / "bench"
SHARE_VARIABLE = "SNATH_BENCH_SHARE"
COUNT_VARIABLE = "SNATH_BENCH_COUNT"  # of families
SEED_VARIABLE = "SNATH_BENCH_SEED"  # of families, and of unseen ones
FOLDER_VARIABLE = "SNATH_BENCH_FOLDER"  # of laws
WORKERS = int(os.environ.get("SNATH_BENCH_WORKERS", "2"))
Row = dict[str, Any]


def share_of(count: int) -> int:
    """How many of a benchmark's clips this run goes through."""
    return max(int(count * float(os.environ.get(SHARE_VARIABLE, "1"))), 4)


SOURCE, BENCH = ROOT / "src/snath", ROOT / "benchmarks"
MAKERS = (BENCH / "simulator", BENCH / "engines")
READER = (SOURCE / "formulas/signals", SOURCE / "decisions/reading", SOURCE / "shop/media", *MAKERS)


@cache
def program(folders: tuple[Path, ...] = READER) -> str:
    """A word for the code under test: rows of another version are not taken over."""
    digest = sha256()
    for folder in folders:
        for path in sorted((*folder.rglob("*.py"), *folder.rglob("*.toml"))):
            digest.update(path.read_bytes())
    for path in sorted(BENCH.glob("*.toml")):
        digest.update(path.read_bytes())
    return digest.hexdigest()[:12]


def rows(
    name: str,
    work: Callable[[Any], Row],
    tasks: Sequence[Any],
    *,
    workers: int = WORKERS,
    of: tuple[Path, ...] = READER,
) -> list[Row]:
    """`work` of every task, in order, those kept from an earlier run of the same program (`of`) not again."""
    KEPT.mkdir(parents=True, exist_ok=True)
    path = KEPT / f"{name}-{program(of)}.jsonl"
    done: dict[int, Row] = {}
    if path.exists():
        for line in path.read_text("utf-8").splitlines():
            try:
                said = json.loads(line)
            except ValueError:
                continue  # a line cut short by a stop
            done[said["number"]] = said["row"]
    left = [number for number in range(len(tasks)) if number not in done]
    if left:
        with path.open("a", encoding="utf-8") as file, _pool(workers) as pool:
            waiting = {pool.submit(work, tasks[number]): number for number in left}
            for future in as_completed(waiting):
                number = waiting[future]
                done[number] = future.result()
                file.write(json.dumps({"number": number, "row": done[number]}) + "\n")
                file.flush()
    return [done[number] for number in range(len(tasks))]


def _pool(workers: int) -> ProcessPoolExecutor:
    return ProcessPoolExecutor(workers, mp_context=get_context("spawn"))


def bounds(hits: int, count: int) -> str:
    """A rate with its 95 % interval (Clopper and Pearson 1934, from memory), in percent."""
    if not count:
        return "-"
    low = beta.ppf(0.025, hits, count - hits + 1) if hits else 0.0
    high = beta.ppf(0.975, hits + 1, count - hits) if hits < count else 1.0
    return f"{100 * hits / count:.1f} [{100 * low:.1f} {100 * high:.1f}]"


def wilson(hits: int, count: int) -> str:
    """A rate with its 95 % interval (Wilson 1927, from memory), in percent."""
    if not count:
        return "-"
    z2 = 1.959964**2
    middle = (hits + z2 / 2) / (count + z2)
    half = (z2 * (hits * (count - hits) / count + z2 / 4)) ** 0.5 / (count + z2)
    return f"{100 * hits / count:.1f} [{100 * max(middle - half, 0):.1f} {100 * min(middle + half, 1):.1f}]"


def table(head: Sequence[str], lines: Iterable[Sequence[object]], title: str = "") -> None:
    """Print a table with columns as wide as they need to be."""
    text = [[str(cell) for cell in line] for line in lines]
    wide = [
        max(len(str(h)), *(len(line[i]) for line in text), 0) if text else len(str(h))
        for i, h in enumerate(head)
    ]
    if title:
        print(f"\n{title}")
    print("  " + "  ".join(str(h).ljust(w) for h, w in zip(head, wide, strict=True)))
    for line in text:
        print(
            "  "
            + "  ".join(
                cell.ljust(w) if i == 0 else cell.rjust(w)
                for i, (cell, w) in enumerate(zip(line, wide, strict=True))
            )
        )


def rms(values: Iterable[float]) -> float:
    """Root of the mean square."""
    array = np.array(list(values), dtype=float)
    return float(np.sqrt(np.mean(array**2))) if len(array) else float("nan")


def verdict(what: str, got: float, most: float, unit: str = "") -> None:
    """Say whether a figure keeps what it should."""
    kept = "kept" if got <= most else "NOT KEPT"
    print(f"  {what}: {got:.4g}{unit}, at most {most:g}{unit}: {kept}")
