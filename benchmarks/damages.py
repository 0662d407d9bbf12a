"""A database file damaged at random: is all that can be read taken out, and does nothing end in a traceback?

    python -m benchmarks.damages                      500 damages
    python -m benchmarks.damages --times 20 --seed 7 --json

Each time one copy of a shop is damaged (a bit, some bytes, a page emptied, filled at random or put in another's place,
the file cut off); then `verify`, `backup`, `export` and `rescue` must say what is wrong in words, pages must, and what
was rescued must restore. A row counts as readable where SQLite itself, asked for it by its number, gives what was
saved. Beside it, of how many of the saved versions SQLite's own shell tells of the same file (`.dump`).
"""

import argparse
import json
import logging
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
import zipfile
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from benchmarks._damaged_file import Rows, by_number, damage, dumped, filled, opens

TIMES = 500
PAGES = ("/today/", "/jobs/", "/jobs/3/verdict/", "/stock/", "/people/log/")
COMMANDS = ("verify", "backup", "export", "rescue", "restore")
IN_WORDS = (0, 1, 2)  # exit codes: done, something is damaged, told why not


def taken_out(archive: Path) -> set[tuple[str, str]]:
    """Rows of an archive by table and key, without the lines of a UUID."""
    from snath.shop.records.rows import BY_NAME

    rows = set()
    with zipfile.ZipFile(archive) as file:
        for line in file.read("records.jsonl").decode().splitlines()[1:]:
            said = json.loads(line)
            key = said["row"][BY_NAME[said["table"]]._meta.pk.attname]
            rows.add((said["table"], str(key).replace("-", "")))
    return rows


def told(damaged: list[str], rows: Rows) -> set[tuple[str, str]]:
    """Those of the rows that an answer names as left out, one by one or as "A to B": they name one that is lost."""
    found = set()
    for one in damaged:
        table, first, *more = one.partition(": ")[0].replace("-", "").split(" ")
        last = more[-1] if more else first
        found |= {(name, key) for name, key in rows if name == table and first <= key <= last}
    return found


def trial(folder: Path, whole: Rows, empty: Path, chance: random.Random) -> dict[str, Any]:
    """Damage the copy in that folder and ask everybody; in a process of its own."""
    from django.conf import settings
    from django.db import connections

    file = folder / "shop.sqlite3"
    kind = damage(file, chance)
    readable = by_number(file, whole) if opens(file) else {}
    found: dict[str, Any] = {"kind": kind, "faults": [], "readable": len(readable), "missing": []}
    found["dumped"] = dumped(file, folder, whole)
    settings.MEDIA_ROOT = folder / "attachments"

    def use(place: Path) -> None:
        connections["default"].close()
        connections["default"].settings_dict["NAME"] = str(place)

    use(file)
    for path, fault in _pages():
        found["faults"].append(f"{path}: {fault}")
    answers = {}
    for command in COMMANDS[:4]:
        words = [command] if command == "verify" else [command, str(folder / command)]
        words += ["--untried"] if command == "backup" else []  # what was rescued is tried below
        answers[command] = _ask(words, folder, found["faults"])
    out = folder / "rescue"
    if out.exists():
        rows = taken_out(out)
        left_out = told(answers["rescue"].get("damaged", []), whole)
        found["taken"] = len(rows)
        found["missing"] = sorted(
            f"{table} {key}"
            for table, key in readable
            if (table, key) not in rows and (table, key) not in left_out
        )
        found["versions"] = sum(table == "jobversion" for table, _ in rows)
        back = folder / "back"
        back.mkdir()
        shutil.copy(empty, back / "shop.sqlite3")
        use(back / "shop.sqlite3")
        _ask(["restore", str(out)], back, found["faults"])
    else:
        found |= {"taken": 0, "versions": 0, "missing": [f"all {len(readable)}"] if readable else []}
    return found


def _pages() -> Iterator[tuple[str, str]]:
    """Pages that answer otherwise than in words."""
    from django.test import Client

    from snath.shop.site.ready_pages import forget

    forget()
    for path in PAGES:
        try:
            answer = Client(HTTP_HOST="localhost:8077", raise_request_exception=False).get(path)
        except Exception as fault:
            yield path, f"{type(fault).__name__}: {fault}"
            continue
        if answer.status_code >= 500 and b"snath rescue" not in answer.content:
            yield path, f"{answer.status_code} in words that say nothing of damage"


def _ask(words: list[str], folder: Path, faults: list[str]) -> dict[str, Any]:
    """The answer of a command as JSON; a traceback or a fault of ours is noted."""
    from click.testing import CliRunner

    from snath.shop.cli.main import main

    done = CliRunner().invoke(main, [*words, "--data", str(folder), "--json"])
    if done.exit_code not in IN_WORDS or not (
        done.exception is None or isinstance(done.exception, SystemExit)
    ):
        said = (done.output or repr(done.exception)).strip().splitlines()
        faults.append(f"{words[0]}: exit code {done.exit_code}: {' | '.join(said[-3:])[:400]}")
        return {}
    lines = done.stdout.strip().splitlines()
    answer: dict[str, Any] = json.loads(lines[-1]) if lines else {}
    return answer


def in_a_process(work: Callable[[], dict[str, Any]]) -> dict[str, Any]:
    """What that work returns, worked out in a fork, so that nothing of it is left behind."""
    out, into = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(out)
        try:
            with open(into, "w") as pipe:  # noqa: PTH123 - a descriptor
                json.dump(work(), pipe)
        finally:
            os._exit(0)
    os.close(into)
    with open(out) as pipe:  # noqa: PTH123
        said = pipe.read()
    os.waitpid(child, 0)
    return json.loads(said) if said else {"kind": "?", "faults": ["the trial itself broke"], "missing": []}


def run(times: int, seed: int, first: int = 0, seconds: float = float("inf")) -> list[dict[str, Any]]:
    """That many damages of one shop, or as many as there is time for."""
    end = time.monotonic() + seconds
    found = []
    logging.disable(logging.CRITICAL)  # the bench tells every damage it meets
    with tempfile.TemporaryDirectory(prefix="snath-damages-", ignore_cleanup_errors=True) as place:
        shop = Path(place) / "shop"
        shop.mkdir()
        os.environ.pop("SNATH_DATABASE", None)
        filled(shop)
        whole = {
            (name, key.replace("-", "")): row for (name, key), row in by_number(shop / "shop.sqlite3").items()
        }
        for number in range(first, first + times):
            if time.monotonic() > end:
                break
            copy = Path(place) / "copy"
            copy.mkdir()
            shutil.copy(shop / "shop.sqlite3", copy)
            shutil.copytree(shop / "attachments", copy / "attachments")
            chance = random.Random(f"{seed} {number}")
            one = in_a_process(lambda: trial(copy, whole, shop / "empty.sqlite3", chance))  # noqa: B023
            found.append(one | {"number": number, "saved": sum(name == "jobversion" for name, _ in whole)})
            shutil.rmtree(copy)
    return found


def summed(found: list[dict[str, Any]]) -> dict[str, Any]:
    """What came of all of them."""
    versions = sum(one.get("versions", 0) for one in found)
    peer = sum(one.get("dumped", 0) for one in found)
    return {
        "damages": len(found),
        "kinds": dict(Counter(one["kind"] for one in found)),
        "faults": [f"{one['number']} ({one['kind']}): {fault}" for one in found for fault in one["faults"]],
        "readable": sum(one.get("readable", 0) for one in found),
        "missing": [f"{one['number']} ({one['kind']}): {row}" for one in found for row in one["missing"]],
        "versions_saved": sum(one["saved"] for one in found),
        "versions_taken_out": versions,
        "versions_dumped_by_the_shell": peer,
    }


def main() -> None:
    """All of it, in a process of its own."""
    subprocess.run([sys.executable, "-m", "benchmarks.damages", "--times", str(TIMES)], check=True)


def asked_for() -> None:
    """What the command line asks for; leaves with 1 where anything readable was left behind or told badly."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--times", type=int, default=TIMES)
    asked.add_argument("--seed", type=int, default=11)
    asked.add_argument("--first", type=int, default=0, help="number of the first damage, to see one again")
    asked.add_argument("--seconds", type=float, default=float("inf"), help="after which no other is begun")
    asked.add_argument("--json", action="store_true")
    given = asked.parse_args()
    told = summed(run(given.times, given.seed, given.first, given.seconds))
    if given.json:
        print(json.dumps(told))
    else:
        for name, value in told.items():
            print(f"{name}: {len(value) if isinstance(value, list) else value}")
            print(
                *(f"    {one}" for one in (value[:40] if isinstance(value, list) else ())), sep="\n", end=""
            )
    sys.exit(bool(told["faults"] or told["missing"]))


if __name__ == "__main__":
    asked_for()
