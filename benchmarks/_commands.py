"""The program's own commands in a process of their own, as a person at a terminal gives them."""

import json
import os
import subprocess
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
