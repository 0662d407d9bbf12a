"""Hand each request to the pages once it is complete, and their answers back, none of them waiting for a slow line.

The web server calls `application` on its event loop. Bodies are put aside there (`bodies`); then the pages,
which are synchronous, run in a few threads; then the answer is sent from the loop again, piece by piece, so that
a slow reader holds no thread either.
"""

import asyncio
import io
import json
import os
import sys
from collections.abc import Awaitable, Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial
from typing import IO, Any
from urllib.parse import unquote_to_bytes

from django.conf import settings
from django.core.wsgi import get_wsgi_application
from django.db import connection
from granian.rsgi import ProtocolClosed  # type: ignore[attr-defined]

from snath.shop.media.parent import end_with_parent
from snath.shop.site.api.refusals import for_programs, refusal
from snath.shop.site.backups import start_backups
from snath.shop.site.bodies import KNOWN, STRANGER, Bodies, RefusedBodyError, spooled
from snath.shop.site.forwarded import as_first_sent
from snath.shop.site.lanes import Lanes
from snath.shop.site.readers import start_keeper
from snath.shop.site.unread import give_up_who_reads_nothing

BESIDE, ALIKE = 3, 8  # threads beside the first one; threads where the database is another program
LARGE, LARGE_THREADS = 1_000_000, 2  # bytes of a body that a page is busy with for a while
AT_HAND = 262_144  # bytes; an answer up to this is sent whole
SLOWEST_PIECE = 60.0  # s a reader may take for one piece of an answer

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "snath.shop.site.settings")
pages = get_wsgi_application()

# Only now: they read the settings.
from snath.shop.site.access import is_known  # noqa: E402

# A page that waits for another program, or for the line to it, leaves the interpreter to the next one.
_in_turn = connection.vendor == "sqlite"
_pool = ThreadPoolExecutor(BESIDE if _in_turn else ALIKE, thread_name_prefix="beside" if _in_turn else "page")
_large = ThreadPoolExecutor(LARGE_THREADS, thread_name_prefix="large")
_bodies = Bodies()
Environ = dict[str, Any]
Answered = tuple[int, list[tuple[str, str]], "bytes | _Rest"]


async def application(scope: Any, protocol: Any) -> None:
    """Answer one request of the web server's own interface (RSGI 1.x)."""
    environ = as_first_sent(environ_of(scope), settings.PROXIES)
    body: IO[bytes] | None = None
    try:
        if _has_body(environ):
            body = await _taken_in(environ, protocol)
        large = int(environ.get("CONTENT_LENGTH") or 0) > LARGE
        work = partial(_answered, environ, body or io.BytesIO())
        status, headers, content = await (_in_a_thread(work, pool=_large) if large else _answer(work))
    except RefusedBodyError as refused:
        kind, said = "text/plain; charset=utf-8", refused.said
        if for_programs(environ["PATH_INFO"]):
            kind, said = "application/json", json.dumps(refusal("body", refused.said))
        headers = [("content-type", kind), ("connection", "close")]
        if refused.status == 503:
            headers.append(("retry-after", "60"))
        protocol.response_bytes(refused.status, headers, said.encode())
        return
    finally:
        if body is not None:
            body.close()
    if isinstance(content, bytes):
        protocol.response_bytes(status, headers, content)
    else:
        await _send(protocol.response_stream(status, headers), content)


def environ_of(scope: Any) -> Environ:
    """The request as PEP 3333 describes it, without its body.

    A header whose name holds an underscore is left out: it could pass for another one (CVE-2015-0219).
    """
    client, _, port = scope.server.rpartition(":")
    environ: Environ = {
        "REQUEST_METHOD": scope.method,
        "SCRIPT_NAME": "",
        "PATH_INFO": unquote_to_bytes(scope.path).decode("latin-1"),
        "QUERY_STRING": scope.query_string,
        "SERVER_NAME": client.strip("[]"),
        "SERVER_PORT": port,
        "SERVER_PROTOCOL": f"HTTP/{scope.http_version}",
        "REMOTE_ADDR": scope.client.rpartition(":")[0].strip("[]"),
        "wsgi.version": (1, 0),
        "wsgi.url_scheme": scope.scheme,
        "wsgi.errors": sys.stderr,
        "wsgi.multithread": True,
        "wsgi.multiprocess": False,
        "wsgi.run_once": False,
        "wsgi.input_terminated": True,
    }
    if scope.authority:
        environ["HTTP_HOST"] = scope.authority
    for name, value in scope.headers.items():
        if "_" in name:
            continue
        key = name.upper().replace("-", "_")
        key = key if key in ("CONTENT_TYPE", "CONTENT_LENGTH") else f"HTTP_{key}"
        joint = "; " if key == "HTTP_COOKIE" else ","
        environ[key] = f"{environ[key]}{joint}{value}" if key in environ and key != "HTTP_HOST" else value
    return environ


def _has_body(environ: Environ) -> bool:
    return environ.get("CONTENT_LENGTH", "0") != "0" or "HTTP_TRANSFER_ENCODING" in environ


async def _taken_in(environ: Environ, protocol: Any) -> IO[bytes]:
    """The request's body, whole."""
    stated = environ.get("CONTENT_LENGTH")
    if stated is None:
        raise RefusedBodyError(411, "The length of what is sent must be announced. Nothing was changed.")
    if not (stated.isascii() and stated.isdigit()):
        raise RefusedBodyError(400, "The length of what is sent must be a number. Nothing was changed.")
    allowance = KNOWN if await _in_a_thread(is_known, environ) else STRANGER
    with _bodies.place(environ["REMOTE_ADDR"], allowance):
        return await spooled(aiter(protocol), allowance, stated=int(stated))


def _answered(environ: Environ, body: IO[bytes]) -> Answered:
    """Run the pages; a short answer comes back whole, a long one as the pieces that are left to send."""
    begun: list[Any] = []

    def start(status: str, headers: list[tuple[str, str]], problem: Any = None) -> Callable[[bytes], object]:
        del problem
        begun[:] = [int(status[:3]), [(name.lower(), value) for name, value in headers]]
        return lambda _: None

    content = pages(environ | {"wsgi.input": body}, start)
    left, at_hand = iter(content), bytearray()
    for piece in left:
        at_hand += piece
        if len(at_hand) > AT_HAND:
            return begun[0], begun[1], _Rest(bytes(at_hand), left, content)
    _close(content)
    return begun[0], begun[1], bytes(at_hand)


@dataclass(frozen=True, slots=True)
class _Rest:
    """A long answer: what is at hand of it, what is left, and what must be closed behind it."""

    at_hand: bytes
    left: Iterator[bytes]
    content: Iterable[bytes]


async def _send(line: Any, rest: _Rest) -> None:
    """Send a long answer piece by piece; a reader that has stopped reading is given up."""
    piece: bytes | None = rest.at_hand
    try:
        while piece is not None:
            sent = asyncio.ensure_future(_sent(line, piece))
            await asyncio.wait({sent}, timeout=SLOWEST_PIECE)
            if not (sent.done() and sent.result()):
                return
            piece = await _in_a_thread(next, rest.left, None)
    finally:
        await _in_a_thread(_close, rest.content)


async def _sent(line: Any, piece: bytes) -> bool:
    """Send one piece; whether somebody still reads."""
    try:
        await line.send_bytes(piece)
    except ProtocolClosed:
        return False
    return True


def _close(content: Iterable[bytes]) -> None:
    close = getattr(content, "close", None)
    if close is not None:
        close()


async def _in_a_thread(work: Callable[..., Any], *given: Any, pool: ThreadPoolExecutor = _pool) -> Any:
    return await asyncio.get_running_loop().run_in_executor(pool, work, *given)


_answer: Callable[[Callable[[], Answered]], Awaitable[Answered]] = (
    Lanes(_pool).answer if _in_turn else _in_a_thread
)


def _begin(loop: asyncio.AbstractEventLoop) -> None:
    """What the web server calls once, before the first request."""
    end_with_parent()
    give_up_who_reads_nothing(loop)
    start_backups()
    if settings.READERS:
        start_keeper()


application.__rsgi_init__ = _begin  # type: ignore[attr-defined]
