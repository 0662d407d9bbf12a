"""A full disk or one that may not be written to: a clear message, and nothing lost."""

import errno
import os
import sqlite3
import subprocess
from pathlib import Path

import pytest
from django.db import OperationalError, connection, transaction

from snath.shop.records import attachments, store
from snath.shop.records.attachments import keep_recording
from snath.shop.records.chain import verify_chain
from snath.shop.records.disk import why_it_cannot_keep
from snath.shop.records.jobs import Attachment, JobVersion
from tests.shop.records.commands import fill, run
from tests.shop.records.shop_of_our_own import save

only_sqlite = pytest.mark.skipif(connection.vendor != "sqlite", reason="its pragmas make the disk full")
# PostgreSQL says the same with words of its own, see test_words_of_both_databases_are_known.


@pytest.mark.parametrize(
    ("fault", "why"),
    [
        (OSError(errno.ENOSPC, "No space left on device"), "full"),
        (OSError(errno.EROFS, "Read-only file system"), "read-only"),
        (sqlite3.OperationalError("database or disk is full"), "full"),
        (OperationalError("attempt to write a readonly database"), "read-only"),
        # PostgreSQL's own words, from memory: md.c and errcodes
        (OperationalError('could not extend file "base/5/16384": No space left on device'), "full"),
        (OperationalError("cannot execute INSERT in a read-only transaction"), "read-only"),
        (sqlite3.OperationalError("disk I/O error"), "failing"),
        (OSError(errno.EIO, "Input/output error"), "failing"),
        (OSError(errno.ENOENT, "No such file"), None),
        (OperationalError("database is locked"), None),
        (ValueError("disk is full"), None),
    ],
)
def test_words_of_both_databases_are_known(fault, why):
    assert why_it_cannot_keep(fault) == why


def test_the_cause_behind_another_fault_is_found():
    fault = RuntimeError("could not save")
    fault.__cause__ = OSError(errno.ENOSPC, "No space left on device")
    assert why_it_cannot_keep(fault) == "full"


def save_until_it_stops(job, who):
    for expected in range(1, 50):
        save(job, who, expected=expected, mark="x" * 50_000)


@only_sqlite
@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("trouble", ["full", "read-only"])
def test_a_save_that_does_not_fit_says_so_and_leaves_all_before_it(mechanic, trouble):
    job = store.open_job(mechanic)
    save(job, mechanic)
    with connection.cursor() as cursor:
        if trouble == "full":
            cursor.execute("PRAGMA page_count")
            cursor.execute(f"PRAGMA max_page_count = {cursor.fetchone()[0]}")
        else:
            cursor.execute("PRAGMA query_only = ON")
    try:
        with pytest.raises(OperationalError) as fault:
            save_until_it_stops(job, mechanic)
        assert why_it_cannot_keep(fault.value) == trouble
    finally:
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA max_page_count = 1073741823")
            cursor.execute("PRAGMA query_only = OFF")
    kept = JobVersion.objects.count()
    assert kept >= 1
    assert verify_chain() == ()
    job.refresh_from_db()
    assert job.version == kept
    save(job, mechanic, expected=kept)  # and once there is room, work goes on
    assert JobVersion.objects.count() == kept + 1


@pytest.mark.django_db
def test_an_attachment_that_does_not_fit_leaves_no_row_and_no_half_file(mechanic, monkeypatch, attachments):
    def full(handle):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("snath.shop.records.attachments.os.fsync", full)
    with pytest.raises(OSError, match="No space left"), transaction.atomic():
        keep_recording([b"sound"], "x.wav", mechanic)
    assert not Attachment.objects.exists()
    assert not [path for path in attachments.rglob("*") if path.is_file()]


@pytest.fixture
def small_disk(tmp_path: Path):
    """A real disk of 3 MB where this user may mount one; None elsewhere."""
    place = tmp_path / "disk"
    place.mkdir()
    may = (
        os.geteuid() == 0
        and not subprocess.run(
            ["mount", "-t", "tmpfs", "-o", "size=3m,mode=700", "tmpfs", place],
            check=False,
            capture_output=True,
        ).returncode
    )
    yield place if may else None
    if may:
        subprocess.run(["umount", "-l", place], check=True)


@only_sqlite
@pytest.mark.slow
def test_on_a_real_full_and_a_real_read_only_disk_commands_say_so_and_all_is_there_afterwards(
    small_disk, tmp_path
):
    if small_disk is None:  # the pragmas above stand in for it
        return
    folder = small_disk / "shop"
    fill(folder, 10)
    before = run("verify", "--data", folder)
    rest = os.statvfs(small_disk)
    (small_disk / "filler").write_bytes(b"x" * (rest.f_bavail * rest.f_frsize))
    full = run("backup", small_disk / "b", "--data", folder, "--untried", code=2)
    assert "the disk is full" in full["errors"][0]["allowed"]
    assert not list(small_disk.glob("*b*.*"))
    (small_disk / "filler").unlink()
    subprocess.run(["mount", "-o", "remount,ro", small_disk], check=True)
    locked = run("backup", small_disk / "b", "--data", folder, "--untried", code=2)
    assert "written to" in locked["errors"][0]["allowed"]
    subprocess.run(["mount", "-o", "remount,rw", small_disk], check=True)
    assert run("verify", "--data", folder) == before
    assert attachments.place_of("0" * 64).name == "0" * 64


@only_sqlite
@pytest.mark.django_db(transaction=True)
def test_sqlite_waits_for_the_disk_at_each_save_and_lets_others_read_meanwhile():
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA synchronous")
        assert cursor.fetchone() == (2,)  # 2 is FULL: sqlite.org/pragma.html, synchronous
        cursor.execute("PRAGMA journal_mode")
        assert cursor.fetchone()[0] in ("wal", "memory")  # a test's own database lives in memory
    from django.conf import settings

    assert "journal_mode=WAL" in settings.DATABASES["default"]["OPTIONS"]["init_command"]
    assert settings.DATABASES["default"]["OPTIONS"]["transaction_mode"] == "IMMEDIATE"
