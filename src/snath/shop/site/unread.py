"""Let the system close a line whose reader takes nothing of an answer any more.

The web server waits for such a reader without end, and a few thousand of them would hold all its lines. It opens its
listening socket itself and does not hand it out, so it is looked for among what this process holds. Lines taken there
inherit the limit. Other systems than Linux have none of the kind (tcp(7), TCP_USER_TIMEOUT).
"""

import asyncio
import os
import socket
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

UNREAD = 30_000  # ms an answer may lie there and nobody takes any of it
SOON, TRIES = 0.2, 100  # s between two looks for the socket; looks
HELD = Path("/proc/self/fd")


def give_up_who_reads_nothing(loop: asyncio.AbstractEventLoop, tries: int = TRIES) -> None:
    """Set the limit as soon as this process listens."""
    if not hasattr(socket, "TCP_USER_TIMEOUT"):
        return
    found = list(listening())
    for one in found:
        one.setsockopt(socket.IPPROTO_TCP, socket.TCP_USER_TIMEOUT, UNREAD)
        one.close()
    if not found and tries:
        loop.call_later(SOON, give_up_who_reads_nothing, loop, tries - 1)


def listening() -> Iterator[socket.socket]:
    """The sockets this process listens on, each under a number of its own; whoever takes one closes it."""
    for held in HELD.iterdir():
        with suppress(OSError):
            if not held.readlink().name.startswith("socket:"):
                continue
            one = socket.socket(fileno=os.dup(int(held.name)))
            if one.getsockopt(socket.SOL_SOCKET, socket.SO_ACCEPTCONN):
                yield one
            else:
                one.close()
