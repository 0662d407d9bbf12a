"""Running the program's own commands on a folder, as a person at a terminal does."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

from benchmarks._commands import ask, environment
from benchmarks.web import SNATH

__all__ = ["SNATH", "benchmark", "environment", "fill", "run", "start_busy_shop"]

ROOT = Path(__file__).parents[3]


def run(*words: object, database: str = "", code: int = 0, said: str = "") -> dict[str, Any]:
    """The answer of one command, which must leave with that code."""
    left, answer = ask(*words, database=database, said=said)
    assert left == code, answer
    return answer


def benchmark(name: str, *asked: object) -> dict[str, Any]:
    """What a small share of a benchmark tells as JSON."""
    done = subprocess.run(
        [sys.executable, "-m", f"benchmarks.{name}", *map(str, asked), "--json"],
        cwd=ROOT,
        env=environment(),
        capture_output=True,
        text=True,
        check=False,
        timeout=240,
    )
    assert done.stdout, done.stderr
    told: dict[str, Any] = json.loads(done.stdout)
    return told


def start_busy_shop(folder: Path, *count: str, database: str = "") -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "tests.shop.records.busy_shop", str(folder), *count],
        env=environment(database),
        cwd=ROOT,
        stdout=subprocess.PIPE,
        text=True,
    )


def fill(folder: Path, count: int, database: str = "") -> None:
    with start_busy_shop(folder, str(count), database=database) as busy:
        busy.communicate(timeout=240)
    assert busy.returncode == 0
