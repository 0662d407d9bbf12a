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
import sqlite3
import subprocess
import sys
import tempfile
import time
import zipfile
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from pathlib import Path
from typing import Any

TIMES, EXTRA = 500, 60
PAGES = ("/today/", "/jobs/", "/jobs/3/verdict/", "/stock/", "/people/log/")
COMMANDS = ("verify", "backup", "export", "rescue", "restore")
IN_WORDS = (0, 1, 2)  # exit codes: done, something is damaged, told why not
Rows = dict[tuple[str, str], tuple[Any, ...]]


def damage(file: Path, chance: random.Random) -> str:
    """Damage a file somewhere; what was done to it."""
    data = bytearray(file.read_bytes())
    size = int.from_bytes(data[16:18], "big")  # SQLite file format, 1.3.2
    size = 65536 if size == 1 else size
    page = chance.randrange(len(data) // size) * size
    at = chance.randrange(len(data))
    kind = chance.choice(
        ("a bit", "a byte", "64 bytes", "an empty page", "a random page", "a wrong page", "cut off")
    )
    if kind == "a bit":
        data[at] ^= 1 << chance.randrange(8)
    elif kind == "a byte":
        data[at] = chance.randrange(256)
    elif kind == "64 bytes":
        data[at : at + 64] = chance.randbytes(64)
    elif kind == "an empty page":
        data[page : page + size] = bytes(size)
    elif kind == "a random page":
        data[page : page + size] = chance.randbytes(size)
    elif kind == "a wrong page":
        other = chance.randrange(len(data) // size) * size
        data[page : page + size] = data[other : other + size]
    else:
        del data[at:]
    file.write_bytes(data)
    return kind


def by_number(file: Path, wanted: Rows | None = None) -> Rows:
    """Rows by table and key: all of a whole file; of a damaged one those that are asked for by number and unchanged."""
    from snath.shop.records.rows import BY_NAME

    found: Rows = {}
    with closing(sqlite3.connect(file)) as base:
        base.execute("PRAGMA writable_schema=ON")  # a file that was cut off opens, too
        for name, model in BY_NAME.items():
            columns = [field.column for field in model._meta.concrete_fields]
            key = columns.index(model._meta.pk.column)
            asked = (
                f'SELECT rowid, {", ".join(map(quoted, columns))} FROM "{model._meta.db_table}" NOT INDEXED'
            )
            if wanted is None:
                for number, *row in base.execute(asked):
                    found[name, str(row[key])] = (number, *row)
                continue
            for (table, text), row in wanted.items():
                if table == name:
                    with suppress(sqlite3.Error, UnicodeDecodeError):
                        if base.execute(f"{asked} WHERE rowid = ?", [row[0]]).fetchone() == row:
                            found[table, text] = row
    return found


def quoted(name: str) -> str:
    """A column's name as SQL has it."""
    return f'"{name}"'


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


def dumped(file: Path, folder: Path, whole: Rows) -> int:
    """Of how many saved versions SQLite's own shell tells every column of the damaged file (`.dump`)."""
    if shutil.which("sqlite3") is None:
        return -1
    made = folder / "dumped.sqlite3"
    shell = subprocess.run(["sqlite3", file, ".dump"], capture_output=True, check=False)
    told = shell.stdout.replace(b"ROLLBACK; -- due to errors", b"COMMIT;")
    subprocess.run(["sqlite3", made], input=told, capture_output=True, check=False)
    hashes = {row[-1] for (table, _), row in whole.items() if table == "jobversion"}
    with suppress(sqlite3.Error), closing(sqlite3.connect(made)) as base:
        return len(hashes & {row[0] for row in base.execute("SELECT hash FROM records_jobversion")})
    return 0


def trial(folder: Path, whole: Rows, empty: Path, chance: random.Random) -> dict[str, Any]:
    """Damage the copy in that folder and ask everybody; in a process of its own."""
    from django.conf import settings
    from django.db import connections

    file = folder / "shop.sqlite3"
    kind = damage(file, chance)
    readable = by_number(file, whole) if _opens(file) else {}
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


def _opens(file: Path) -> bool:
    try:
        with closing(sqlite3.connect(file)) as base:
            base.execute("PRAGMA writable_schema=ON")
            base.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except sqlite3.Error:
        return False
    return True


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


def filled(folder: Path) -> None:
    """The invented shop and some versions more, in one file."""
    from snath.shop.site.data_folder import DataFolder
    from snath.shop.site.serve import bring_up_to_date, fill_demo_shop, start_django

    start_django(DataFolder(folder))
    bring_up_to_date()
    shutil.copy(folder / "shop.sqlite3", folder / "empty.sqlite3")
    fill_demo_shop()
    from django.db import connection

    from snath.shop.records import store
    from snath.shop.records.attachments import keep_recording
    from snath.shop.records.people import Person

    who = Person.objects.local_owner()
    job = store.open_job(who)
    for number in range(EXTRA):
        job = store.open_job(who) if number and number % 6 == 0 else job
        text = json.dumps({"schema": "snath-job-1", "fill": "x" * 900 * (number % 5)})
        version = store.save_version(job, text, json.dumps({"fill": "y" * 700}), number % 6, who)
        if version.version == 2:
            keep_recording([os.urandom(500)], "sound.wav", who, job=job)
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    connection.close()


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
