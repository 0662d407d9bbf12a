"""Read a thing again only once somebody has changed a row: what nobody changed is what was read before.

Putting one question to the database costs a page more than all it writes of the answer. So what a request that only
reads has asked is kept beside the exact state of the database, and given again while that state stands. The state
costs one tiny query a request:

- SQLite counts commits by others (data_version) and the rows this connection changed (total_changes);
- PostgreSQL's snapshot names every transaction it sees, so the same snapshot is the same data.
"""

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, TypeVar

from django.db import connection

MOST = 256  # answers kept by each of the server's few threads
Answer = TypeVar("Answer")


class _Here(threading.local):
    """What one thread keeps: it has a database connection of its own, whose state is compared."""

    def __init__(self) -> None:
        self.reads_only = False
        self.looked = False  # at the state, since this request began
        self.state: object = None
        self.answers: dict[tuple[object, ...], Any] = {}


_here = _Here()


def state_of_database() -> object:
    """Something that is equal only while nobody has changed a row and the line to the database is the same."""
    if connection.in_atomic_block:
        return object()  # a transaction's own changes show in no snapshot: equal to nothing
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("SELECT pg_current_snapshot()::text")
            return connection.connection, cursor.fetchone()
        cursor.execute("PRAGMA data_version")
        # Held, not named: both counts begin anew with another line.
        return connection.connection, cursor.fetchone(), connection.connection.total_changes


@contextmanager
def reading_only() -> Iterator[None]:
    """Whatever is asked in here is asked by somebody who changes nothing, and a short while at most."""
    _here.reads_only, _here.looked = True, False
    try:
        yield
    finally:
        _here.reads_only = False


def unchanged(what: tuple[object, ...], ask: Callable[[], Answer]) -> Answer:
    """What `ask` gives, or gave, where nobody has changed a row since; asked each time by whoever may change one.

    Parameters
    ----------
    what : tuple
        A name for the question, with all the answer depends on beside the database.
    ask : callable
        Puts the question. What it gives is given to others, too: nobody may change it.
    """
    if not _here.reads_only or connection.in_atomic_block:
        return ask()
    if not _here.looked:
        state = state_of_database()
        if state != _here.state:
            _here.state = state
            _here.answers.clear()
        _here.looked = True
    if what not in _here.answers:
        if len(_here.answers) >= MOST:
            _here.answers.clear()
        _here.answers[what] = ask()
    answer: Answer = _here.answers[what]
    return answer


def forget() -> None:
    """Drop what this thread has kept."""
    _here.answers.clear()
