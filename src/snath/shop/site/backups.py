"""Backups by themselves: one a day into a folder, old ones thinned out, and a word to the owner where one is late.

Each is what `snath backup` writes, tried out by restoring it, in a process of its own. Only files of this naming are
ever thrown away, and none before a newer one is whole.
"""

import os
import re
import subprocess
import sys
import threading
import time
from collections.abc import Iterable
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from django.utils.translation import gettext

FOLDER_VARIABLE, PASSPHRASE_VARIABLE = "SNATH_BACKUP_TO", "SNATH_BACKUP_PASSPHRASE_FILE"
EVERY, LATE = timedelta(days=1), timedelta(days=2)
DAYS, WEEKS, MONTHS = 7, 5, 12  # of which backups are kept: all, the newest of each, the newest of each
LONGEST = 6 * 3600.0  # s a backup may take
LOOKED = 300.0  # s between two looks
NAME = re.compile(r"snath-([0-9]{4}-[0-9]{2}-[0-9]{2}-[0-9]{4})\.backup")
FORM = "%Y-%m-%d-%H%M"
GIVES_WAY = 10  # steps of priority
BACKUP = "from snath.shop.cli.main import main; main()"


class Backups:
    """What has been taken into one folder, and what went wrong last."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.newest: datetime | None = None
        self.begun: datetime | None = None  # when it was first looked
        self.fault = ""

    def look(self, now: datetime) -> None:
        """Take one where it is time, and throw away those that are over."""
        self.begun = self.begun or now
        try:
            there = taken(self.folder, now)
            if there and now - max(there) < EVERY:
                self.newest = max(there)
                return
            self.fault = self._take(now)
            there = taken(self.folder, now)
            self.newest = max(there, default=None)
            if not self.fault:
                for old in set(there) - to_keep(there, now):
                    there[old].unlink(missing_ok=True)
        except (OSError, subprocess.SubprocessError) as fault:
            self.fault = getattr(fault, "strerror", None) or str(fault)

    def _take(self, now: datetime) -> str:
        """Take one; what went wrong, empty where nothing did."""
        file = self.folder / f"snath-{now:{FORM}}.backup"
        command = [sys.executable, "-c", BACKUP, "backup", str(file)]
        if phrase := os.environ.get(PASSPHRASE_VARIABLE):
            command += ["--passphrase-file", phrase]
        way = {"preexec_fn": lambda: os.nice(GIVES_WAY)} if hasattr(os, "nice") else {}
        how: dict[str, Any] = {
            "capture_output": True,
            "text": True,
            "check": False,
            "timeout": LONGEST,
            **way,
        }
        done = subprocess.run(command, **how)
        return "" if done.returncode == 0 else (done.stderr or done.stdout).strip()[:300]

    def warning(self, now: datetime) -> str:
        """What the owner should know; empty where all is well."""
        words = {"folder": self.folder, "why": self.fault}
        if self.fault:
            return gettext("The last backup into %(folder)s failed: %(why)s") % words
        since = self.newest or self.begun
        if since is not None and now - since > LATE:
            days = gettext("No backup has come into %(folder)s for %(days)d days.")
            return days % {**words, "days": (now - since).days}
        return ""


def taken(folder: Path, now: datetime) -> dict[datetime, Path]:
    """The backups of that folder by when they were taken; a name from the future says that a clock was wrong."""
    found = {}
    for file in folder.iterdir():
        if named := NAME.fullmatch(file.name):
            with suppress(ValueError):  # figures that are no day
                found[datetime.strptime(named.group(1), FORM).replace(tzinfo=UTC)] = file
    return {when: file for when, file in found.items() if when <= now}


def to_keep(times: Iterable[datetime], now: datetime) -> set[datetime]:
    """Which of them stay: all of a week, then the newest of each week, then of each month, and the newest always."""
    newest_first = sorted(times, reverse=True)
    weeks: dict[tuple[int, int], datetime] = {}
    months: dict[tuple[int, int], datetime] = {}
    for one in newest_first:
        weeks.setdefault(one.isocalendar()[:2], one)
        months.setdefault((one.year, one.month), one)
    kept = {one for one in newest_first if now - one < timedelta(days=DAYS)}
    return kept | {*list(weeks.values())[:WEEKS], *list(months.values())[:MONTHS], *newest_first[:1]}


_ours: Backups | None = None


def start_backups() -> None:
    """Take backups as long as this process runs, where a folder was named for them."""
    global _ours
    if not (folder := os.environ.get(FOLDER_VARIABLE)):
        return
    _ours = kept = Backups(Path(folder))

    def go_on() -> None:
        while True:
            kept.look(datetime.now(UTC))
            time.sleep(LOOKED)

    threading.Thread(target=go_on, name="backups", daemon=True).start()


def backup_warning() -> str:
    """What the owner should know of the backups; empty where all is well, or none are asked for."""
    return _ours.warning(datetime.now(UTC)) if _ours else ""
