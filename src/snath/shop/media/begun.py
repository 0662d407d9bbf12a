"""Begin a process that decodes one file, by forking one that has the decoder loaded; end it whatever happens."""

import atexit
import json
import os
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from threading import Lock
from typing import IO, Any

BOOT = str(Path(__file__).with_name("boot.py"))
KEPT = ("PATH", "SYSTEMROOT", "TMPDIR", "TEMP")  # a decoder has no business with the rest
AFTER = 30.0  # s in which a child must be born, on however busy a machine
LEAVING = 5.0  # s in which the loaded process goes by itself


@contextmanager
def begun(file: IO[bytes], request: dict[str, Any]) -> Iterator[tuple[IO[bytes], int]]:
    """What the child says, and its number; it is ended on leaving.

    Parameters
    ----------
    file : file
        The recording, opened.
    request : dict
        What is asked of it.

    Raises
    ------
    ChildProcessError
        Where the system gives no process.
    """
    if hasattr(os, "fork"):
        with _forked(file, request) as child:
            yield child
        return
    with subprocess.Popen(  # nothing can be forked: each loads anew
        [*_python("child"), json.dumps(request)],
        stdin=file,
        stdout=subprocess.PIPE,
        bufsize=2**20,
        stderr=subprocess.DEVNULL,
        env=_environment(),
    ) as alone:
        assert alone.stdout is not None
        try:
            yield alone.stdout, alone.pid
        finally:
            alone.kill()


def _python(module: str) -> list[str]:
    """How to begin a module's `main`, of the same program as this one."""
    return [sys.executable, "-I", BOOT, module]


def _environment() -> dict[str, str]:
    kept = {name: os.environ[name] for name in KEPT if name in os.environ}
    return kept | {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}


@contextmanager
def _forked(file: IO[bytes], request: dict[str, Any]) -> Iterator[tuple[IO[bytes], int]]:
    reading, writing = os.pipe()
    line, theirs = socket.socketpair()
    with os.fdopen(reading, "rb", buffering=2**20) as said, line:
        with theirs, os.fdopen(writing, "wb", buffering=0) as answers:
            pid = _LOADED.fork(json.dumps(request).encode(), (file, answers, theirs), line)
        yield said, pid


class _Loaded:
    """The process that has the decoder loaded: one for each of ours that reads, begun when it is first needed."""

    def __init__(self) -> None:
        self._one_at_a_time = Lock()
        self._process: subprocess.Popen[bytes] | None = None
        self._way: socket.socket | None = None
        self._owner = 0

    def fork(self, words: bytes, files: tuple[Any, ...], line: socket.socket) -> int:
        """The number of the child that was born for a request.

        Raises
        ------
        ChildProcessError
            Where the system gives none.
        """
        with self._one_at_a_time:
            line.settimeout(AFTER)
            for _ in range(2):  # one that was ended by others is begun anew
                way = self._alive()
                with suppress(OSError):
                    socket.send_fds(way, [words], [one.fileno() for one in files])
                    if number := line.recv(32):
                        return int(number)
                self._forget()
        raise ChildProcessError

    def _alive(self) -> socket.socket:
        if self._way is None or self._owner != os.getpid():
            ours, theirs = socket.socketpair()
            with theirs:
                self._process = subprocess.Popen(
                    _python("loaded"),
                    stdin=theirs.fileno(),
                    stdout=subprocess.DEVNULL,
                    stderr=subprocess.DEVNULL,
                    env=_environment(),
                )
            self._way, self._owner = ours, os.getpid()
        return self._way

    def _forget(self) -> None:
        if self._way is not None:
            self._way.close()
        if self._process is not None and self._owner == os.getpid():
            try:
                self._process.wait(LEAVING)
            except subprocess.TimeoutExpired:
                self._process.kill()
                self._process.wait()
        self._way = self._process = None

    def end(self) -> None:
        """End it with everything it began."""
        with self._one_at_a_time:
            if self._owner == os.getpid():
                self._forget()


_LOADED = _Loaded()
end = _LOADED.end  # what it and its children cost is counted from then on
atexit.register(end)
