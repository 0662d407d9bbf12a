"""Is the disk to blame, and what does that mean for the person who just saved?"""

import errno
import sqlite3
from typing import Literal

from django.db import DatabaseError

FULL = (errno.ENOSPC, errno.EDQUOT)
READ_ONLY = (errno.EROFS, errno.EACCES, errno.EPERM)
FULL_WORDS = ("disk is full", "disk full", "no space left", "could not extend file")
READ_ONLY_WORDS = ("readonly", "read-only", "unable to open database file")

MESSAGES = {
    "full": "the disk is full: make room, then save again; everything saved before is as it was",
    "read-only": "the disk may not be written to: mend that, then save again; everything saved before is as it was",
}


def why_it_cannot_keep(fault: BaseException) -> Literal["full", "read-only"] | None:
    """What stops the disk, or None when the disk is not to blame."""
    cause: BaseException | None = fault
    while cause is not None:
        if isinstance(cause, OSError) and cause.errno in FULL:
            return "full"
        if isinstance(cause, OSError) and cause.errno in READ_ONLY:
            return "read-only"
        if isinstance(cause, sqlite3.Error | DatabaseError):
            text = str(cause).lower()
            if any(words in text for words in FULL_WORDS):
                return "full"
            if any(words in text for words in READ_ONLY_WORDS):
                return "read-only"
        cause = cause.__cause__ or cause.__context__
    return None
