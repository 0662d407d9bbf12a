"""Decode one file in a process of its own that can open nothing else, and hand on what is in it.

A media file comes from anybody's phone, and the decoder is a million lines of C. So it runs here, with
the file as its standard input: bounded in memory and computing time, unable to write, and, by the
limit on open files set once everything is loaded, unable to open a second file.
"""

import contextlib
import json
import os
import sys
from dataclasses import asdict
from importlib import import_module
from typing import Any, BinaryIO

import av

from snath.quantities.message import Message
from snath.shop.media import wire
from snath.shop.media.decoding import claimed_seconds, is_cover, opened, plain
from snath.shop.media.refusal import RefusedError
from snath.shop.media.send_film import send_film
from snath.shop.media.send_sound import send_sound

with contextlib.suppress(ImportError):  # no such limits on Windows; the parent's clock still holds
    import resource

MEMORY, COMPUTING = 2 * 2**30, 900  # bytes and s
LOADED_LATE = ("av.subtitles.stream", "av.subtitles.codeccontext", "av.data.stream", "av.video.reformatter")


def main() -> None:
    """Serve the one request on the command line."""
    serve(json.loads(sys.argv[1]))


def serve(request: dict[str, Any]) -> None:
    """Serve one request: the file is standard input, what is in it goes to standard output."""
    # The decoder's own words may go to standard output; the pipe is moved out of their way.
    pipe = os.fdopen(os.dup(1), "wb", buffering=2**20)
    os.dup2(2, 1)
    file = os.fdopen(0, "rb", buffering=0)
    lock_up()
    try:
        work = {"sound": send_sound, "film": send_film, "probe": send_probe}[request["what"]]
        work(file, pipe, request)
        wire.send(pipe, wire.DONE)
    except RefusedError as refusal:
        _refuse(pipe, refusal.why)
    except MemoryError:
        _refuse(pipe, Message("media.memory"))
    except (av.FFmpegError, ValueError, OverflowError, ArithmeticError, AssertionError) as fault:
        _refuse(pipe, Message("media.not-decoded", why=plain(fault)))
    pipe.flush()


def _refuse(pipe: BinaryIO, why: Message) -> None:
    wire.send_words(pipe, wire.REFUSED, asdict(why))


def lock_up() -> None:
    """Take away what decoding does not need."""
    av.logging.set_level(av.logging.PANIC)
    for late in LOADED_LATE:
        with contextlib.suppress(ImportError):
            import_module(late)
    if "resource" not in sys.modules:
        return
    for what, most in (
        (resource.RLIMIT_AS, MEMORY),
        (resource.RLIMIT_CPU, COMPUTING),
        (resource.RLIMIT_FSIZE, 0),
        (resource.RLIMIT_CORE, 0),
        (resource.RLIMIT_NOFILE, 3),  # those already open stay open
    ):
        with contextlib.suppress(ValueError, OSError):
            resource.setrlimit(what, (most, most))


def send_probe(file: BinaryIO, pipe: BinaryIO, request: dict[str, Any]) -> None:
    """What kinds of stream there are."""
    del request
    with opened(file) as container:
        wire.send_words(
            pipe,
            wire.ABOUT,
            {
                "seconds": claimed_seconds(container, file),
                "sound": any(s.type == "audio" for s in container.streams),
                "film": any(s.type == "video" and not is_cover(s) for s in container.streams),
            },
        )


if __name__ == "__main__":
    main()
