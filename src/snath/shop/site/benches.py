"""Which benches work with one PostgreSQL database at the same time, and do they go together?

Each holds locks of the database for as long as it serves: one that stands for its program, one for its secret key,
one for its folder of attachments. Where another bench holds a different one, this one does not start: sessions, photos
or tables of one would be wrong for the other. The database itself lets them go when a bench dies. It does so, too, when
it is started again or the line to it breaks: then they are taken anew, and a bench that no longer goes with the others
by then stops. On a file there is one bench, held by its folder.
"""

import hashlib
import os
import secrets
import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from enum import IntEnum
from importlib.metadata import version
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db import DEFAULT_DB_ALIAS, DatabaseError, OperationalError, connections

import snath
from snath.quantities.errors import InputError
from snath.quantities.message import Message

PATIENCE = "120s"  # another bench may just be changing the tables
LOOKED = 2.0  # s between two looks whether the locks are still held
MARK = ".one-folder"  # names a folder of attachments, wherever it is seen from


class Lock(IntEnum):
    """What a lock stands for; any numbers that nobody else is likely to use."""

    CHANGING = 0x534E4101
    PROGRAM = 0x534E4102
    KEY = 0x534E4103
    ATTACHMENTS = 0x534E4104


ALIKE = {
    Lock.PROGRAM: (
        "program",
        Message("records.same-program"),
    ),
    Lock.KEY: (
        "secret key",
        Message("records.same-key"),
    ),
    Lock.ATTACHMENTS: ("attachments", Message("records.same-attachments")),
}


@contextmanager
def changing(connection: Any) -> Iterator[None]:
    """Let nobody else begin to serve or change tables meanwhile; a file needs nothing of the kind.

    Raises
    ------
    InputError
        Where somebody else takes longer than anybody waits.
    """
    if connection.vendor != "postgresql":
        yield
        return
    with connection.cursor() as cursor:
        cursor.execute("SET lock_timeout = %s", [PATIENCE])
        try:
            cursor.execute("SELECT pg_advisory_lock(%s, 0)", [Lock.CHANGING])
        except OperationalError:
            raise InputError("database", "", Message("records.being-changed")) from None
        finally:
            cursor.execute("SET lock_timeout = 0")
    try:
        yield
    finally:
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_advisory_unlock(%s, 0)", [Lock.CHANGING])


def others(connection: Any, lock: Lock) -> set[int]:
    """What others hold of that kind now."""
    if connection.vendor != "postgresql":
        return set()
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT objid::bigint FROM pg_locks WHERE locktype = 'advisory' AND objsubid = 2 AND granted"
            " AND classid::bigint = %s AND pid <> pg_backend_pid()"
            " AND database = (SELECT oid FROM pg_database WHERE datname = current_database())",
            [int(lock)],
        )
        return {int(row[0]) for row in cursor.fetchall()}


@contextmanager
def serving(check: Callable[[], None]) -> Iterator[None]:
    """Serve beside those other benches that are alike.

    Parameters
    ----------
    check : callable
        Asked while nobody else can change the tables; raises where they are not this program's.

    Raises
    ------
    InputError
        Naming what differs from the others.
    """
    connection = connections.create_connection(DEFAULT_DB_ALIAS)  # of its own: its end is the locks' end
    if connection.vendor != "postgresql":
        yield
        return
    over, lost = threading.Event(), list[InputError]()
    keeping = threading.Thread(target=_keep, args=(connection, check, over, lost), name="locks", daemon=True)
    try:
        _enter(connection, check)
        connection.inc_thread_sharing()  # from now on that thread alone uses it
        keeping.start()
        yield
    finally:
        over.set()
        if keeping.is_alive():
            keeping.join(LOOKED)
        connection.close()
    if lost:
        raise lost[0]


def _enter(connection: Any, check: Callable[[], None]) -> None:
    with changing(connection):
        check()
        _join(connection)


def _keep(connection: Any, check: Callable[[], None], over: threading.Event, lost: list[InputError]) -> None:
    """See that the locks are held until it is over; where they are lost for good, say why and stop the bench."""
    while not over.wait(LOOKED):
        try:
            if not connection.is_usable():
                connection.close()
                _enter(connection, check)
        except DatabaseError:
            continue  # still away, and nobody is served from it meanwhile
        except InputError as fault:
            lost.append(fault)
            os.kill(os.getpid(), signal.SIGTERM)
            return
        finally:
            connections.close_all()  # this thread's own, that the check asked


def _join(connection: Any) -> None:
    for lock, what in _of_this_bench().items():
        number = int.from_bytes(hashlib.sha256(what.encode()).digest()[:4], "big", signed=True)
        if others(connection, lock) - {number % 2**32}:
            field, allowed = ALIKE[lock]
            raise InputError(field, what if lock != Lock.KEY else "(not shown)", allowed)
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_advisory_lock_shared(%s, %s)", [lock, number])


def _of_this_bench() -> dict[Lock, str]:
    return {
        Lock.PROGRAM: _program(),
        Lock.KEY: settings.SECRET_KEY,
        Lock.ATTACHMENTS: _name_of_folder(Path(settings.MEDIA_ROOT)),
    }


def _program() -> str:
    """This program by its version and by every line of its code."""
    root, digest = Path(snath.__file__).parent, hashlib.sha256()
    for file in sorted(root.rglob("*.py")):
        digest.update(file.relative_to(root).as_posix().encode() + b"\0" + file.read_bytes())
    return f"{version('snath')} ({digest.hexdigest()[:8]})"


def _name_of_folder(folder: Path) -> str:
    """What that folder is called by whoever looks into it first."""
    mark = folder / MARK
    try:
        with mark.open("x") as file:
            file.write(secrets.token_hex(16))
    except FileExistsError:
        pass
    return mark.read_text()
