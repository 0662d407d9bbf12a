"""Read one recording in a process that is there for nothing else: bounded, and all its memory is given back."""

import contextlib
import json
import os
import time
from multiprocessing.connection import Connection
from pathlib import Path

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.media.decoder import name_of
from snath.shop.media.parent import end_with_parent
from snath.shop.media.recording import read_recording
from snath.shop.media.request import Progress
from snath.shop.media.told import answer_to_json, asked_from_json, fault_to_json

with contextlib.suppress(ImportError):  # no such limits on Windows; its clock and its decoder's still hold
    import resource

MEMORY, COMPUTING = 3 * 2**30, 1800  # bytes of address space, and s
GIVES_WAY = 5  # steps of priority: pages come first
EVERY = 1.0  # s between two words of how far it has come
HOW_FAR, ANSWER = b"P", b"A"


def read_alone(pipe: Connection, place: str, asked: str) -> None:
    """Serve one request: words of how far it is, then the answer, into the pipe.

    Parameters
    ----------
    pipe : Connection
        Messages of bytes: `HOW_FAR` and a JSON list of two numbers [s], then `ANSWER` and a JSON object.
    place : str
        The recording.
    asked : str
        What was said of it, as `told` writes it.
    """
    end_with_parent()
    _give_way()
    last = time.monotonic()

    def progress(done: float, whole: float | None) -> None:
        nonlocal last
        if time.monotonic() - last >= EVERY:
            last = time.monotonic()
            pipe.send_bytes(HOW_FAR + json.dumps([done, whole]).encode())

    with contextlib.suppress(BrokenPipeError):  # nobody waits for it any more
        pipe.send_bytes(ANSWER + answer_of(place, asked, progress).encode())


def answer_of(place: str, asked: str, progress: Progress | None = None) -> str:
    """What a recording says, or why it cannot be read, as `told` writes it."""
    try:
        return answer_to_json(read_recording(Path(place), asked_from_json(asked), progress=progress))
    except InputError as fault:
        return fault_to_json(fault)
    except MemoryError:
        return fault_to_json(InputError("recording", name_of(Path(place)), Message("media.memory")))


def _give_way() -> None:
    if hasattr(os, "nice"):
        os.nice(GIVES_WAY)
    if "resource" in globals():
        for what, most in ((resource.RLIMIT_AS, MEMORY), (resource.RLIMIT_CPU, COMPUTING)):
            with contextlib.suppress(ValueError, OSError):
                resource.setrlimit(what, (most, most))
