"""A shop's database file: filled, damaged somewhere at random, and what SQLite itself still gives of it."""

import json
import os
import random
import shutil
import sqlite3
import subprocess
from contextlib import closing, suppress
from pathlib import Path
from typing import Any

EXTRA = 60  # versions beside those of the invented shop
Rows = dict[tuple[str, str], tuple[Any, ...]]


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


def opens(file: Path) -> bool:
    """Whether SQLite opens it at all."""
    try:
        with closing(sqlite3.connect(file)) as base:
            base.execute("PRAGMA writable_schema=ON")
            base.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except sqlite3.Error:
        return False
    return True


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
