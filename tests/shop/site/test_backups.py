"""A backup a day by itself: which are kept, what is thrown away and when, and what the owner is told."""

import os
import subprocess
from datetime import UTC, datetime, timedelta

import pytest

from snath.shop.site import backups
from snath.shop.site.backups import FORM, Backups, taken, to_keep

NOW = datetime(2027, 3, 31, 12, 0, tzinfo=UTC)


def file_of(folder, when: datetime):
    file = folder / f"snath-{when:{FORM}}.backup"
    file.write_bytes(b"x")
    return file


def test_a_week_of_days_then_weeks_then_months_stay():
    """By hand: 31 March 2027 is a Wednesday.

    Days 25 to 31 March; newest of the ISO weeks that begin on 29, 22, 15, 8 and 1 March: 31, 28, 21, 14, 7 March;
    newest of twelve months back from March 2027: 31 March, 28 February, 31 January, ... 30 April 2026.
    """
    daily = [NOW - timedelta(days=back) for back in range(400)]
    days = {datetime(2027, 3, day, 12, 0, tzinfo=UTC) for day in (7, 14, 21, *range(25, 32))}
    ends = [(2027, 2, 28), (2027, 1, 31), (2026, 12, 31), (2026, 11, 30), (2026, 10, 31), (2026, 9, 30)]
    ends += [(2026, 8, 31), (2026, 7, 31), (2026, 6, 30), (2026, 5, 31), (2026, 4, 30)]
    assert to_keep(daily, NOW) == days | {datetime(*end, 12, 0, tzinfo=UTC) for end in ends}


def test_the_newest_stays_however_old_it_is_and_a_single_one_does():
    old = [NOW - timedelta(days=900), NOW - timedelta(days=901)]
    assert old[0] in to_keep(old, NOW)
    assert to_keep([], NOW) == set()


@pytest.fixture
def asked(monkeypatch):
    """What was begun in place of the command, which writes its file and ends well."""
    begun: list[list[str]] = []

    def run(command, **_):
        begun.append(command)
        with open(command[4], "xb"):  # noqa: PTH123
            return subprocess.CompletedProcess(command, 0, "", "")

    monkeypatch.setattr(backups.subprocess, "run", run)
    return begun


def test_one_is_taken_once_a_day_and_only_our_own_old_ones_go(tmp_path, asked):
    other = tmp_path / "snath-of-somebody.backup"
    other.write_bytes(b"x")
    old = [file_of(tmp_path, NOW - timedelta(days=back)) for back in (1000, 1001, 1002)]
    kept = Backups(tmp_path)
    kept.look(NOW)
    kept.look(NOW + timedelta(hours=23))
    assert len(asked) == 1
    assert kept.warning(NOW) == ""
    assert other.exists()
    assert [file.exists() for file in old] == [True, False, False]  # the newest of its month stays
    kept.look(NOW + timedelta(hours=24))
    assert len(asked) == 2
    assert len(taken(tmp_path, NOW + timedelta(days=1))) == 3


@pytest.mark.parametrize("name", ["snath-2099-01-01-0000.backup", "snath-2026-13-99-9999.backup"])
def test_a_name_from_a_wrong_clock_stops_no_backup(name, tmp_path, asked):
    (tmp_path / name).write_bytes(b"x")
    kept = Backups(tmp_path)
    kept.look(NOW)
    kept.look(NOW + timedelta(days=1))
    assert len(asked) == 2
    assert (tmp_path / name).exists()


def test_a_first_one_that_never_ends_is_told(tmp_path, monkeypatch):
    kept = Backups(tmp_path)

    def hangs(*_, **how):
        assert kept.warning(NOW + timedelta(hours=1)) == ""
        assert "for 3 days" in kept.warning(NOW + timedelta(days=3))  # while it is at it still
        raise subprocess.TimeoutExpired("backup", how["timeout"])

    monkeypatch.setattr(backups.subprocess, "run", hangs)
    kept.look(NOW)
    assert "timed out" in kept.warning(NOW)


def test_one_that_fails_is_told_and_nothing_is_thrown_away(tmp_path, monkeypatch):
    there = [file_of(tmp_path, NOW - timedelta(days=back)) for back in (1000, 1001)]
    failed = subprocess.CompletedProcess([], 2, "", "the disk is full")
    monkeypatch.setattr(backups.subprocess, "run", lambda *_, **__: failed)
    kept = Backups(tmp_path)
    kept.look(NOW)
    assert "the disk is full" in kept.warning(NOW)
    assert all(file.exists() for file in there)


def test_a_folder_that_is_gone_and_a_late_one_are_told(tmp_path, asked):
    kept = Backups(tmp_path / "unplugged")
    kept.look(NOW)
    assert "No such file" in kept.warning(NOW)
    late = Backups(tmp_path)
    late.look(NOW)
    assert late.warning(NOW + timedelta(days=1, hours=23)) == ""
    assert "for 2 days" in late.warning(NOW + timedelta(days=2, hours=1))


def test_the_owner_sees_it_on_every_page_and_nobody_else_does(owner, mechanic, monkeypatch, tmp_path):
    kept = Backups(tmp_path)
    kept.fault = "no room"
    monkeypatch.setattr(backups, "_ours", kept)
    assert b"no room" in owner.get("/jobs/").content
    assert b"no room" not in mechanic.get("/jobs/").content


@pytest.mark.slow
def test_what_is_begun_is_the_program_itself_and_its_file_is_a_whole_backup(tmp_path, monkeypatch):
    from tests.shop.records.commands import fill, run

    shop, folder = tmp_path / "shop", tmp_path / "kept"
    folder.mkdir()
    fill(shop, 2)
    for name in [name for name in os.environ if name.startswith(("SNATH_", "DJANGO_"))]:
        monkeypatch.delenv(name)
    monkeypatch.setenv("SNATH_DATA", str(shop))
    secret = tmp_path / "phrase"
    secret.write_text("a phrase that is long enough\n")
    monkeypatch.setenv("SNATH_BACKUP_PASSPHRASE_FILE", str(secret))
    kept = Backups(folder)
    kept.look(NOW)
    assert kept.fault == ""
    (file,) = taken(folder, NOW).values()
    assert file.stat().st_mode & 0o077 == 0
    restored = run("restore", file, "--data", tmp_path / "back", "--passphrase-file", secret)
    assert restored["chain_whole"]
