"""The rows of a damaged table, as they lie in the file: every one that SQLite still gives, and an end."""

import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from snath.shop.records import readable
from snath.shop.records.readable import Damaged, _lying

PAGE, ROWS, FAR = 512, 300, 2**60  # a page holds four of these rows (SQLite file format, 1.6)


@pytest.fixture
def file(tmp_path: Path, monkeypatch) -> Path:
    monkeypatch.setattr(readable, "LOST", 1000)
    return written(tmp_path / "t.sqlite3", ROWS)


def written(made: Path, rows: int) -> Path:
    with closing(sqlite3.connect(made)) as line:
        line.execute(f"PRAGMA page_size = {PAGE}")
        line.execute("CREATE TABLE t (words TEXT)")
        numbers = [*range(1, rows + 1), FAR]
        line.executemany(
            "INSERT INTO t (rowid, words) VALUES (?, ?)",
            [(n, f"row {n:019} ".ljust(100, "x")) for n in numbers],
        )
        line.commit()
    return made


def pages_of(file: Path) -> Iterator[tuple[int, set[int]]]:
    """Where each page begins, and the rows that lie on it, by their words."""
    data = file.read_bytes()
    for at in range(0, len(data), PAGE):
        yield at, {int(found) for found in re.findall(rb"row (\d{19}) ", data[at : at + PAGE])}


def reached(file: Path) -> tuple[set[int], list[Damaged]]:
    with closing(sqlite3.connect(file)) as line:
        line.execute("PRAGMA writable_schema=ON")  # a file that was cut off opens, too
        found = list(_lying(line, "t", "t"))
    numbers = [one for one in found if isinstance(one, int)]
    assert len(numbers) == len(set(numbers))
    return set(numbers), [one for one in found if isinstance(one, Damaged)]


def test_a_page_that_is_torn_takes_its_own_rows_along_and_no_number_is_too_far(file: Path):
    at, torn = next((at, rows) for at, rows in pages_of(file) if 150 in rows)
    with file.open("r+b") as raw:
        raw.seek(at)
        raw.write(b"\xa5" * PAGE)
    numbers, damaged = reached(file)
    assert numbers == {*range(1, ROWS + 1), FAR} - torn
    assert {one.key for one in damaged} >= {f"row {n}" for n in torn}


def test_a_page_in_the_place_of_another_hides_no_row_and_brings_nobody_round_in_a_circle(file: Path):
    pages = {next(iter(sorted(rows)), 0): at for at, rows in pages_of(file)}
    rows = dict(pages_of(file))
    data = file.read_bytes()
    late = next(at for at, there in rows.items() if 250 in there)
    with file.open("r+b") as raw:
        raw.seek(pages[1])
        raw.write(data[late : late + PAGE])
    numbers, _ = reached(file)
    assert numbers >= {*range(1, ROWS + 1), FAR} - rows[pages[1]]


def test_of_a_file_that_was_cut_off_the_end_is_told_once(file: Path):
    file.unlink()
    written(file, 200)  # so few that the table's one page of places lies before the cut
    at, _ = next((at, rows) for at, rows in pages_of(file) if 150 in rows)
    with file.open("r+b") as raw:
        raw.truncate(at)
    numbers, damaged = reached(file)
    assert numbers <= set(range(1, 150))
    assert len(numbers) > 100
    assert damaged[-1].key.endswith("to the end")
