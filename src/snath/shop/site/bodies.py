"""Take in the whole body of a request before a page is asked, so that a slow sender holds up nobody.

A page runs in one of a few threads. If it read its body as it arrives, four slow phones, or four sockets that
send a byte now and then, would hold all of them. So a body is first put aside here, where waiting costs no
thread, under a size, a least rate and a deadline that depend on who sends it.
"""

import asyncio
import tempfile
from collections import Counter
from collections.abc import AsyncIterator, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import IO

from granian.rsgi import ProtocolError  # type: ignore[attr-defined]

IN_MEMORY = 1_000_000  # bytes of a body kept in memory; more goes to a file without a name
PIECE = 262_144  # bytes gathered before the disk is asked


@dataclass(frozen=True, slots=True)
class Allowance:
    """What one kind of sender may send.

    Attributes
    ----------
    most : int
        Largest body. [bytes]
    least_rate : float
        Slowest mean rate from the grace on. [bytes/s]
    grace : float
        How long a body may take whatever its rate. [s]
    deadline : float
        How long a body may take at all. [s]
    at_once : int
        Bodies of one address under way at the same time.
    """

    most: int
    least_rate: float
    grace: float
    deadline: float
    at_once: int


KNOWN = Allowance(most=420_000_000, least_rate=8_000, grace=20.0, deadline=3600.0, at_once=16)
STRANGER = Allowance(most=1_000_000, least_rate=2_000, grace=5.0, deadline=30.0, at_once=8)
ALL_STRANGERS = 64  # bodies of strangers under way at once, from whatever address


class RefusedBodyError(Exception):
    """A body that is not taken: the status to answer with and what to say."""

    def __init__(self, status: int, said: str) -> None:
        super().__init__(said)
        self.status, self.said = status, said


class Bodies:
    """The bodies that are under way, counted by who sends them. Lives on one event loop, so it needs no lock."""

    def __init__(self) -> None:
        self._by_address: Counter[tuple[str, bool]] = Counter()

    @contextmanager
    def place(self, address: str, allowance: Allowance) -> Iterator[None]:
        """Hold a place for one body of that address; RefusedBodyError where too many are under way."""
        key = (address, allowance is STRANGER)
        strangers = sum(count for (_, strange), count in self._by_address.items() if strange)
        if self._by_address[key] >= allowance.at_once or (key[1] and strangers >= ALL_STRANGERS):
            raise RefusedBodyError(
                503, "Too much is being sent at once. Try again in a minute; nothing was changed."
            )
        self._by_address[key] += 1
        try:
            yield
        finally:
            self._by_address[key] -= 1
            if not self._by_address[key]:
                del self._by_address[key]


async def spooled(pieces: AsyncIterator[bytes], allowance: Allowance, *, stated: int) -> IO[bytes]:
    """The body as a file at its beginning.

    The server's iterator ends alike where a body is whole and where the line broke off: only what was announced
    tells half a recording from a whole one.

    Parameters
    ----------
    pieces : asynchronous iterator of bytes
        The body as it arrives.
    allowance : Allowance
        What this sender may send.
    stated : int
        The length that was announced. [bytes]

    Raises
    ------
    RefusedBodyError
        413 where it is too large, 408 where it comes too slowly, 400 where it breaks off, 507 where the disk
        is full.
    """
    if stated > allowance.most:
        raise _too_large(allowance)
    loop = asyncio.get_running_loop()
    began, taken, waiting = loop.time(), 0, bytearray()
    file: IO[bytes] = tempfile.SpooledTemporaryFile(max_size=IN_MEMORY)  # noqa: SIM115 - the caller closes it
    try:
        while (
            piece := await _next_piece(pieces, began + _patience(allowance, taken) - loop.time())
        ) is not None:
            taken += len(piece)
            if taken > stated:
                raise RefusedBodyError(400, "More came than was announced. Nothing was changed.")
            waiting += piece
            if len(waiting) >= PIECE:
                await loop.run_in_executor(None, file.write, bytes(waiting))
                waiting.clear()
        if taken < stated:
            raise _broke_off()
        file.write(waiting)
        file.seek(0)
    except OSError:
        file.close()
        said = "This computer's disk is full, so it could not be taken. Nothing was changed."
        raise RefusedBodyError(507, said) from None
    except BaseException:
        file.close()
        raise
    return file


def _patience(allowance: Allowance, taken: int) -> float:
    """How long after its beginning a body that has come so far may take for its next piece. [s]"""
    return min(max(allowance.grace, taken / allowance.least_rate), allowance.deadline)


async def _next_piece(pieces: AsyncIterator[bytes], patience: float) -> bytes | None:
    """The next piece, None at the end.

    A late one is left to itself and not cancelled: the server's iterator does not bear being cancelled, and
    ends by itself when the answer closes the line.
    """

    async def following() -> bytes | None:
        try:
            return await anext(pieces)  # with a default, anext brings this server down
        except StopAsyncIteration:
            return None
        except ProtocolError:
            raise _broke_off() from None

    coming = asyncio.ensure_future(following())
    await asyncio.wait({coming}, timeout=max(patience, 0.0))
    if not coming.done():
        coming.add_done_callback(lambda done: done.exception())
        raise RefusedBodyError(408, "It came too slowly and was not taken. Nothing was changed.")
    return coming.result()


def _broke_off() -> RefusedBodyError:
    return RefusedBodyError(400, "It broke off and was not taken. Nothing was changed.")


def _too_large(allowance: Allowance) -> RefusedBodyError:
    return RefusedBodyError(
        413, f"At most {allowance.most // 1_000_000} MB can be sent here. Nothing was changed."
    )
