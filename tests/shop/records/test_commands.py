"""Backup, restore, export and move as a person runs them, on both kinds of database."""

import contextlib
import json
import sqlite3
import subprocess
import zipfile
from contextlib import closing
from pathlib import Path

import psycopg
import pytest

from tests.shop.records.commands import SNATH, environment, fill, run, start_busy_shop

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("postgresql")]


def exported(folder: Path, database: str = "") -> bytes:
    file = folder.with_name(folder.name + ".zip")
    run("export", file, "--data", folder, database=database)
    return file.read_bytes()


def backed_up_while_saving(folder: Path, file: Path, database: str = "") -> set[str]:
    """Hashes of the versions that were acknowledged before the backup began."""
    with start_busy_shop(folder, database=database) as busy:
        assert busy.stdout is not None
        before = {busy.stdout.readline().split()[1] for _ in range(25)}
        try:
            run("backup", file, "--data", folder, database=database)
            assert busy.poll() is None, "it must still have been saving"
            assert busy.stdout.readline()
        finally:
            busy.kill()
    return before


def without_secrets(lines: str) -> str:
    """What an export of the same moment would have said."""
    rows = [json.loads(line) for line in lines.splitlines(keepends=True)]
    rows[0]["secrets"] = False
    for row in rows[1:]:
        if row["table"] == "person":
            del row["row"]["password"]
    kept = [row for row in rows if row.get("table") != "pairing"]
    return "".join(json.dumps(row, ensure_ascii=False, separators=(",", ":")) + "\n" for row in kept)


@pytest.mark.parametrize("origin", ["sqlite", "postgresql"])
def test_a_backup_taken_while_saving_and_restored_on_the_other_kind_exports_the_same_bytes(
    tmp_path, postgresql, origin
):
    there, other = (postgresql, "") if origin == "postgresql" else ("", postgresql)
    before = backed_up_while_saving(tmp_path / "a", tmp_path / "backup", there)
    run("restore", tmp_path / "backup", "--data", tmp_path / "b", database=other)
    exported(tmp_path / "b", other)
    text = zipfile.ZipFile(tmp_path / "b.zip").read("records.jsonl").decode()
    with zipfile.ZipFile(tmp_path / "backup") as whole, zipfile.ZipFile(tmp_path / "b.zip") as handed_on:
        assert handed_on.namelist() == whole.namelist()
        assert without_secrets(whole.read("records.jsonl").decode()) == text
        assert whole.read("comparisons.jsonl") == handed_on.read("comparisons.jsonl")
        assert whole.read("comparisons.jsonl").startswith(b'{"method": "sound", "recorded": 55.0,')
    assert all(f'"hash":"{known}"' in text for known in before)


def test_moving_to_postgresql_and_back_loses_nothing_and_closes_what_was_left(tmp_path, postgresql):
    folder = tmp_path / "shop"
    fill(folder, 30)
    before = exported(folder)
    assert run("move", postgresql, "--data", folder)["rows"] > 30
    assert (folder / "shop.toml").stat().st_mode & 0o777 == 0o600
    assert exported(folder) == before
    with psycopg.connect(postgresql) as there, closing(sqlite3.connect(folder / "shop.sqlite3")) as left:
        assert there.execute("SELECT closed FROM records_chainhead").fetchone() == ("",)
        assert left.execute("SELECT closed FROM records_chainhead").fetchone()[0].startswith("moved to")
        # Sessions too, so that phones stay logged in.
        assert there.execute("SELECT count(*) FROM django_session").fetchone() == (1,)
    refused = run("move", postgresql, "--data", folder, code=2)
    assert "already" in refused["errors"][0]["allowed"]

    run("move", "file", "--data", folder)
    assert not (folder / "shop.toml").exists()
    assert len(list(folder.glob("before-*"))) == 1  # what lay there before is put aside, not overwritten
    assert exported(folder) == before
    refused = run("move", postgresql, "--data", folder, code=2)  # it holds the shop as it was
    assert "must be empty" in refused["errors"][0]["allowed"]
    fill(folder, 3)
    assert run("verify", "--data", folder)["breaks"] == []


def test_a_sealed_backup_comes_back_with_its_passphrase_only(tmp_path):
    fill(tmp_path / "shop", 3)
    phrase = "grass grows at night\n"
    sealed = run("backup", tmp_path / "b", "--data", tmp_path / "shop", "--passphrase-file", "-", said=phrase)
    assert sealed == {**sealed, "sealed": True, "tried": True, "missing": []}
    assert (tmp_path / "b").stat().st_mode & 0o777 == 0o600
    assert b"Orchard" not in (tmp_path / "b").read_bytes()
    target = ["restore", tmp_path / "b", "--data", tmp_path / "new"]
    assert run(*target, code=2)["errors"][0]["field"] == "passphrase"
    assert run(*target, "--passphrase-file", "-", said=phrase)["chain_whole"] is True
    assert exported(tmp_path / "new") == exported(tmp_path / "shop")


def test_a_changed_version_shows_by_command(tmp_path):
    folder = tmp_path / "shop"
    fill(folder, 3)
    with closing(sqlite3.connect(folder / "shop.sqlite3")) as base, base:
        base.execute("DROP TRIGGER version_never_edited")
        base.execute("UPDATE records_jobversion SET result_json = '{}' WHERE sequence = 2")
    next((folder / "attachments").glob("*/*")).write_bytes(b"x")
    shown = run("verify", "--data", folder, code=1)
    assert [found["version"] for found in shown["breaks"]] == [2]
    assert len(shown["damaged"]) == 1


def test_the_data_folder_and_all_in_it_are_their_owners_only(tmp_path):
    folder = tmp_path / "shop"
    fill(folder, 1)
    assert folder.stat().st_mode & 0o077 == 0
    for path in folder.rglob("*"):
        assert path.stat().st_mode & 0o077 == 0, path


def test_a_restore_that_was_ended_after_its_work_finds_everything_there_and_says_so(tmp_path: Path):
    fill(tmp_path / "a", 3)
    run("backup", tmp_path / "b", "--data", tmp_path / "a")
    run("restore", tmp_path / "b", "--data", tmp_path / "c")
    again = run("restore", tmp_path / "b", "--data", tmp_path / "c")
    assert again["already"]
    fill(tmp_path / "c", 1)  # one more job: now it is another shop's work
    refused = run("restore", tmp_path / "b", "--data", tmp_path / "c", code=2)
    assert refused["errors"][0]["field"] == "database"


def test_a_killed_backup_leaves_nothing_behind(tmp_path: Path):
    fill(tmp_path / "a", 60)
    temporary, target = tmp_path / "temporary", tmp_path / "target"
    temporary.mkdir()
    target.mkdir()
    for wait in (0.4, 0.7, 1.0, 1.3):
        backing = subprocess.Popen(
            [*SNATH, "backup", str(target / "b"), "--data", str(tmp_path / "a")],
            env={**environment(), "TMPDIR": str(temporary)}, stdout=subprocess.DEVNULL,
        )  # fmt: skip
        with contextlib.suppress(subprocess.TimeoutExpired):
            backing.wait(wait)
        backing.kill()
        backing.wait()
        assert list(temporary.iterdir()) == []
        assert {file.name for file in target.iterdir()} <= {"b"}


def test_where_no_shop_was_begun_nothing_is_written_and_the_folder_is_named(tmp_path):
    # found in an office's first hour: an empty shop was made on the way, and its backup was "tried out"
    office = tmp_path / "office"
    office.mkdir()
    done = subprocess.run(
        [*SNATH, "backup", "friday.snath", "--data", "shop"],
        cwd=office,
        env=environment(),
        capture_output=True,
        text=True,
    )
    assert done.returncode == 2
    assert "data folder = " in done.stderr
    assert "must be that of a shop" in done.stderr
    assert list(office.iterdir()) == []


def test_a_file_that_ends_in_csv_is_a_table_of_jobs(tmp_path):
    fill(tmp_path / "shop", 1)
    run("export", tmp_path / "jobs.csv", "--data", tmp_path / "shop")
    head, *rows = (tmp_path / "jobs.csv").read_text("utf-8").splitlines()
    assert "verdict" in head.split(",")
    assert rows
