"""Running the program's own commands on a folder, as a person at a terminal does."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

from benchmarks.web import SNATH

ROOT = Path(__file__).parents[3]


def environment(database: str = "") -> dict[str, str]:
    known = {name: value for name, value in os.environ.items() if not name.startswith(("SNATH_", "DJANGO_"))}
    return {**known, "SNATH_DATABASE": database} if database else known


def run(*words: object, database: str = "", code: int = 0, said: str = "") -> dict[str, Any]:
    """The answer of one command, which must leave with that code."""
    done = subprocess.run(
        [*SNATH, *map(str, words), "--json"],
        env=environment(database),
        input=said,
        capture_output=True,
        text=True,
        check=False,
        timeout=240,
    )
    assert done.returncode == code, done.stdout + done.stderr
    answer: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return answer


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
