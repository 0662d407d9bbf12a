"""The program's own commands in a process of their own, as a person at a terminal gives them."""

import argparse
import json
import os
import subprocess
import sys
from collections import Counter
from collections.abc import Callable, Sequence
from typing import Any

from benchmarks.web import SNATH


def environment(database: str = "") -> dict[str, str]:
    """The variables of here without those that steer the program, save the database it shall use."""
    known = {name: value for name, value in os.environ.items() if not name.startswith(("SNATH_", "DJANGO_"))}
    return {**known, "SNATH_DATABASE": database} if database else known


def ask(*words: object, database: str = "", said: str = "") -> tuple[int, dict[str, Any]]:
    """Exit code and answer of one command; where it gave none, what it said instead."""
    done = subprocess.run(
        [*SNATH, *map(str, words), "--json"],
        env=environment(database),
        input=said,
        capture_output=True,
        text=True,
        check=False,
        timeout=240,
    )
    lines = done.stdout.splitlines()
    return done.returncode, json.loads(lines[-1]) if lines else {"said": done.stderr}


def killed(
    doc: str | None,
    kinds: Sequence[str],
    times: int,
    run: Callable[[str, int, int], Counter[str]],
    *,
    well: Callable[[str], bool],
) -> None:
    """Kill as the command line asks, print what came of it, and leave with 1 where anything did not end well."""
    asked = argparse.ArgumentParser(description=doc)
    asked.add_argument("--kind", choices=kinds)
    asked.add_argument("--times", type=int, default=times)
    asked.add_argument("--seed", type=int, default=5)
    given = asked.parse_args()
    wrong = False
    for kind in (given.kind,) if given.kind else kinds:
        found = run(kind, given.times, given.seed)
        print(f"{kind}: {dict(found)}", flush=True)
        wrong |= not all(map(well, found))
    sys.exit(wrong)
