"""Hand out the ranges, seeds and bounds that all rows of unseen families share."""

import os
import tomllib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from benchmarks.kept import SEED_VARIABLE, share_of

FIXED = 1818
Z = 1.959964


def ranges(*names: str) -> dict[str, Any]:
    """One table of ranges.toml."""
    table: dict[str, Any] = tomllib.loads(Path(__file__).with_name("ranges.toml").read_text("utf-8"))
    for name in names:
        table = table[name]
    return table


def seeds(fixed: int = FIXED) -> tuple[int, int]:
    """The fixed seed, and one fresh or as `--seed` says, printed."""
    fresh = int(os.environ.get(SEED_VARIABLE) or np.random.default_rng().integers(2, 1_000_000))
    print(f"seeds: {fixed} (fixed) and {fresh} (fresh)", flush=True)
    return fixed, fresh


def cases(seed: int, number: int) -> list[tuple[int, int]]:
    """Seeds of so many cases, as many as this run's share asks for."""
    return [(seed, i) for i in range(share_of(number))]


def wilson(hits: int, count: int) -> str:
    """Hits of a count with the 95 % interval of their rate (Wilson 1927, from memory), in percent."""
    if not count:
        return "none of 0"
    middle = (hits + Z * Z / 2) / (count + Z * Z)
    half = Z * (hits * (count - hits) / count + Z * Z / 4) ** 0.5 / (count + Z * Z)
    low, high = 100 * max(middle - half, 0.0), 100 * min(middle + half, 1.0)
    return f"{hits} of {count} ({100 * hits / count:.1f} %, {low:.1f} to {high:.1f})"


def median(values: Sequence[float]) -> float:
    """Of what is finite; NaN of nothing."""
    kept = [v for v in values if np.isfinite(v)]
    return float(np.median(kept)) if kept else float("nan")
