"""One bad byte or page locks nothing in: it is named, and all the rest can be taken out and restored."""

import sqlite3
from contextlib import closing
from pathlib import Path
from uuid import UUID

import pytest
from django.db import OperationalError

from snath.shop.records import readable
from snath.shop.records.jobs import JobVersion
from tests.shop.records.commands import fill, run
from tests.shop.site.test_serve import Serving, body, free_port, status

pytestmark = pytest.mark.slow

JOBS = 8


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    folder = tmp_path / "shop"
    fill(folder, JOBS)
    return folder


def sql(folder: Path, statement: str, *given: object) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(folder / "shop.sqlite3")) as base, base:
        for (name,) in base.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            base.execute(f'DROP TRIGGER "{name}"')  # whoever damages a file asks no leave
        return base.execute(statement, given).fetchall()


def versions(folder: Path) -> int:
    return int(sql(folder, "SELECT count(*) FROM records_jobversion")[0][0])


def test_a_byte_that_is_no_text_is_named_and_every_other_version_comes_out(shop: Path, tmp_path: Path):
    all_of_them = versions(shop)
    sql(shop, "UPDATE records_jobversion SET result_json = CAST(X'7bff7d' AS TEXT) WHERE sequence = 3")
    breaks = run("verify", "--data", shop, code=1)["breaks"]
    assert any(one["version"] == 3 and "cannot be read" in one["what"] for one in breaks)
    for command, file in (("backup", "b"), ("export", "e"), ("rescue", "r")):
        answer = run(command, tmp_path / file, "--data", shop, code=1)
        assert len(answer["damaged"]) == 1
        assert answer["damaged"][0].startswith("jobversion row 3: ")
    for file in ("b", "r"):
        restored = run("restore", tmp_path / file, "--data", tmp_path / f"{file}-back", code=1)
        assert not restored["chain_whole"]
        assert versions(tmp_path / f"{file}-back") == all_of_them - 1


def test_a_bit_in_an_id_by_which_its_row_is_found_no_more_is_told_by_verify(shop: Path):
    # Found by damages drawn at random: one bit makes a letter a capital, which an id may hold and none of ours does.
    sql(shop, "UPDATE records_jobrecord SET id = upper(id) WHERE rowid = 3")
    assert run("verify", "--data", shop, code=1)["rows"] != []


def test_what_reading_a_number_as_an_id_ends_in_is_damage():
    # As it stands on a page of another table: a column's own kind keeps no number out of it.
    with pytest.raises(readable.UNREADABLE):
        UUID(7)  # type: ignore[arg-type]


def test_a_page_says_which_version_is_damaged_and_the_lists_open(shop: Path):
    numbers = [int(row[0]) for row in sql(shop, "SELECT number FROM records_jobrecord ORDER BY number")]
    bad = numbers[0]
    sql(
        shop,
        "UPDATE records_jobversion SET job_json = '{'"
        " WHERE job_id = (SELECT id FROM records_jobrecord WHERE number = ?)",
        bad,
    )
    port = free_port()
    with Serving("--port", port, "--data", shop) as served:
        served.wait_until_it_listens(port)
        assert status(port, f"/jobs/{bad}/verdict/") == 500
        said = body(port, f"/jobs/{bad}/verdict/")
        assert f"job {bad}, version" in said
        assert "snath rescue" in said
        assert status(port, "/jobs/") == 200


def test_a_job_whose_own_row_is_lost_is_made_anew_from_its_versions(shop: Path, tmp_path: Path):
    key, number = sql(shop, "SELECT id, number FROM records_jobrecord ORDER BY number LIMIT 1")[0]
    sql(shop, "UPDATE records_jobrecord SET opened_at = 'never' WHERE id = ?", key)
    answer = run("rescue", tmp_path / "r", "--data", shop, code=1)
    assert any("made anew from its versions" in one for one in answer["damaged"])
    run("restore", tmp_path / "r", "--data", tmp_path / "back")  # every version is there: the chain holds
    assert versions(tmp_path / "back") == versions(shop)
    found = sql(tmp_path / "back", "SELECT number FROM records_jobrecord WHERE id = ?", key)
    assert len(found) == 1
    assert found[0][0] != number  # nobody can say any more what it was


def test_a_page_of_the_file_that_is_torn_takes_only_its_own_rows_along(shop: Path, tmp_path: Path):
    file = shop / "shop.sqlite3"
    sql(shop, "PRAGMA wal_checkpoint(TRUNCATE)")
    all_of_them = versions(shop)
    size = int(sql(shop, "PRAGMA page_size")[0][0])
    root = int(sql(shop, "SELECT rootpage FROM sqlite_master WHERE name = 'records_jobversion'")[0][0])
    with file.open("r+b") as raw:
        raw.seek((root - 1) * size)
        root_page = raw.read(size)
        assert (
            root_page[0] == 5
        )  # an inner page of a table: its first child is a leaf (SQLite file format, 1.6)
        leaf = int.from_bytes(root_page[12 + 2 * 0 : 14], "big")
        child = int.from_bytes(root_page[leaf : leaf + 4], "big")
        raw.seek((child - 1) * size)
        raw.write(b"\xa5" * size)
    answer = run("verify", "--data", shop, code=1)
    assert any("cannot be read" in one["what"] for one in answer["breaks"])
    rescued = run("rescue", tmp_path / "r", "--data", shop, code=1)
    assert any(one.startswith("jobversion row ") for one in rescued["damaged"])
    run("restore", tmp_path / "r", "--data", tmp_path / "back", code=1)
    left = versions(tmp_path / "back")
    assert 0 < left < all_of_them


def test_what_is_whole_is_rescued_whole(shop: Path, tmp_path: Path):
    assert run("rescue", tmp_path / "r", "--data", shop)["damaged"] == []
    run("restore", tmp_path / "r", "--data", tmp_path / "back")
    assert versions(tmp_path / "back") == versions(shop)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("said", "damage"),
    [
        ("database disk image is malformed", True),
        ("Could not decode to UTF-8 column 'x'", True),
        ("disk I/O error", True),
        ("database is locked", False),
        ("server closed the connection unexpectedly", False),
    ],
)
def test_a_busy_or_absent_database_is_not_called_damaged(monkeypatch, said, damage):
    def fails(*_: object, **__: object) -> None:
        raise OperationalError(said)

    monkeypatch.setattr(readable, "_one_by_one", lambda *_: iter(["row by row"]))
    monkeypatch.setattr("django.db.models.query.QuerySet.__getitem__", fails)
    if damage:
        assert list(readable.readable(JobVersion, "default")) == ["row by row"]
    else:
        with pytest.raises(OperationalError):
            list(readable.readable(JobVersion, "default"))
