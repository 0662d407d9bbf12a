"""Tell a fault of the disk from others, and what it means for the person who just saved."""

import errno
import sqlite3
import traceback
from pathlib import Path
from typing import Literal

from django.db import DatabaseError

FULL = (errno.ENOSPC, errno.EDQUOT)
READ_ONLY = (errno.EROFS, errno.EACCES, errno.EPERM)
# Without room for its 32 KB of shared memory SQLite cannot even open a database that is in WAL.
FULL_CODES = ("SQLITE_FULL", "SQLITE_IOERR_SHMSIZE", "SQLITE_IOERR_SHMMAP")
FULL_WORDS = ("disk is full", "disk full", "no space left", "could not extend file")
DAMAGED_WORDS = ("malformed", "not a database", "could not decode to utf-8", "no such table: records_")
READ_ONLY_WORDS = ("readonly", "read-only", "unable to open database file")

MESSAGES: dict[str, str] = {
    "failing": "the disk fails to read or write: look at it before anything else, and keep your last backup",
    "full": "the disk is full: make room, then save again; everything saved before is as it was",
    "damaged": "the database file is damaged: `snath verify` names where, and `snath rescue` takes out all that can be "
    "read; copy the data folder away before anything else",
    "read-only": "the disk may not be written to: mend that, then save again; everything saved before is as it was",
}


Why = Literal["full", "read-only", "failing", "damaged"]


def why_it_cannot_keep(fault: BaseException) -> Why | None:
    """What stops the disk, or None when the disk is not to blame."""
    cause: BaseException | None = fault
    found: Why | None = None
    while cause is not None:
        why = _system_says(cause) if isinstance(cause, OSError) else _database_says(cause)
        if why in ("full", "read-only"):
            return why
        found = found or why
        cause = cause.__cause__ or cause.__context__
    return found


def _system_says(fault: OSError) -> Why | None:
    if fault.errno in FULL:
        return "full"
    if fault.errno in READ_ONLY:
        return "read-only"
    return "failing" if fault.errno == errno.EIO else None


def _database_says(fault: BaseException) -> Why | None:
    if isinstance(fault, UnicodeDecodeError) and _came_through_the_database(fault):
        return "damaged"  # what it wanted to say repeats a damaged name
    if not isinstance(fault, sqlite3.Error | DatabaseError):
        return None
    text = str(fault).lower()
    if getattr(fault, "sqlite_errorname", "") in FULL_CODES or any(words in text for words in FULL_WORDS):
        return "full"
    if any(words in text for words in READ_ONLY_WORDS):
        return "read-only"
    if any(words in text for words in DAMAGED_WORDS):
        return "damaged"
    return "failing" if "disk i/o error" in text else None


def _came_through_the_database(fault: BaseException) -> bool:
    frames = traceback.extract_tb(fault.__traceback__)
    return any("backends" in Path(frame.filename).parts for frame in frames)
