"""Decode a file in a child process, the one way to what is in it; this side only counts and waits."""

import hashlib
import json
import os
import re
import stat
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from queue import Empty, Full, Queue
from threading import Event, Thread
from typing import IO, Any

from snath.quantities.errors import InputError
from snath.quantities.message import Message, sent
from snath.shop.extras import needed
from snath.shop.media import wire
from snath.shop.media.begun import begun

FIELD = "recording"
STALL = 5.0  # s without a word from the child, after which it is ended
STARVED = 30.0  # s it is given where a busy machine kept it from working
AHEAD = 4  # messages that may wait: what bounds the memory of a long recording
HASHED, SHORT = re.compile("[0-9a-f]{64}"), 12
LONGEST_S = 2 * 3600 + 300.0

Source = Path | bytes


@contextmanager
def opened(source: Source) -> Iterator[IO[bytes]]:
    """The source as a real file that can be handed to another process."""
    if isinstance(source, bytes):
        with tempfile.TemporaryFile() as held:
            held.write(source)
            held.seek(0)
            yield held
        return
    name = name_of(source)
    try:
        regular = stat.S_ISREG(source.stat().st_mode)
        file = source.open("rb", buffering=0) if regular else None
    except OSError as fault:
        raise InputError(
            FIELD, name, Message("media.not-opened", why=(fault.strerror or "").lower())
        ) from None
    except ValueError:  # a zero byte, or letters no name of a file can have
        raise InputError(FIELD, name, Message("media.file-name")) from None
    if file is None:
        raise InputError(FIELD, name, Message("media.not-a-file"))
    with file:
        yield file


UPLOAD = Message("media.the-upload")


def name_of(source: Source) -> Message | str:
    """What to call a source in a message; what is kept under its hash, by the beginning of that."""
    if not isinstance(source, Path):
        return UPLOAD
    return source.name[:SHORT] if HASHED.fullmatch(source.name) else source.name


def fingerprint(source: Source) -> str:
    """SHA-256 of the file, by which a job knows it again."""
    with opened(source) as file:
        digest = hashlib.sha256()
        while piece := file.read(2**20):
            digest.update(piece)
        return digest.hexdigest()


def messages(source: Source, request: dict[str, Any]) -> Iterator[tuple[bytes, bytes]]:
    """What the child says about a file, until it is done.

    Raises
    ------
    InputError
        Naming the file and why it was refused, was too slow or brought the decoder down; or the extra that decodes.
    """
    needed("av")  # it is loaded in the child, whose words nobody hears
    with opened(source) as file:
        if os.fstat(file.fileno()).st_size == 0:
            raise InputError(FIELD, name_of(source), Message("media.empty"))
        stop = Event()
        try:
            with begun(file, request) as (said, pid):
                yield from _until_done(said, pid, stop, name_of(source))
        except ChildProcessError:
            raise InputError(FIELD, name_of(source), Message("media.no-process")) from None
        finally:
            stop.set()


def _until_done(said: IO[bytes], pid: int, stop: Event, name: Message | str) -> Iterator[tuple[bytes, bytes]]:
    waiting: Queue[tuple[bytes, bytes] | None] = Queue(AHEAD)
    Thread(target=_pump, args=(said, waiting, stop), daemon=True).start()
    while True:
        message = _next_message(waiting, pid, name)
        if message is None:
            raise InputError(FIELD, name, Message("media.brought-down"))
        kind, payload = message
        if kind == wire.DONE:
            return
        if kind == wire.REFUSED:
            why = json.loads(payload)
            raise InputError(FIELD, name, sent(why["code"], why["values"]))
        yield kind, payload


def _next_message(
    waiting: "Queue[tuple[bytes, bytes] | None]", pid: int, name: Message | str
) -> tuple[bytes, bytes] | None:
    """The next message; silence counts against the file only while the child had a processor to work on."""
    waited, used = 0.0, _worked(pid)
    while waited < STARVED:
        try:
            return waiting.get(timeout=STALL)
        except Empty:
            waited += STALL
            if used is None or (_worked(pid) or 0.0) - used > STALL / 2 or not _runnable(pid):
                break
    raise InputError(FIELD, name, Message("media.stood-still", waited=waited))


def _stat(of: Path) -> list[str]:
    """What the system says of a process or one of its threads, from its state on; nothing where it does not say."""
    try:
        return (of / "stat").read_text().rpartition(")")[2].split()
    except OSError:
        return []


def _worked(pid: int) -> float | None:
    """Computing time a process has had; None where the system does not say. [s]"""
    stat = _stat(Path(f"/proc/{pid}"))
    return (int(stat[11]) + int(stat[12])) / os.sysconf("SC_CLK_TCK") if stat else None


def _runnable(pid: int) -> bool:
    """Whether a process would work on if it were given a processor or its disk: any thread, as films have several."""
    return any(_stat(thread)[:1] in (["R"], ["D"]) for thread in Path(f"/proc/{pid}/task").glob("*"))


def _pump(pipe: Any, waiting: "Queue[tuple[bytes, bytes] | None]", stop: Event) -> None:
    """Move messages from the pipe to the queue, giving up when nobody listens any more."""
    try:
        for message in wire.received(pipe):
            if not _put(waiting, message, stop):
                return
    except (OSError, ValueError):
        pass
    _put(waiting, None, stop)


def _put(waiting: "Queue[Any]", message: Any, stop: Event) -> bool:
    while not stop.is_set():
        try:
            waiting.put(message, timeout=0.2)
            return True
        except Full:
            continue
    return False
