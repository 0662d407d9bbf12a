"""How the decoding child talks to its parent: length-prefixed messages, nothing that could run."""

import json
import struct
from collections.abc import Iterator
from typing import Any, BinaryIO

HEAD = struct.Struct("<cI")
LONGEST = 64 * 2**20  # bytes; no honest message comes near
ABOUT, SOUND, FRAMES, REFUSED, DONE = b"A", b"S", b"F", b"R", b"Z"


def send(pipe: BinaryIO, kind: bytes, payload: bytes | memoryview = b"") -> None:
    """Put one message into the pipe."""
    pipe.write(HEAD.pack(kind, len(payload)))
    pipe.write(payload)


def send_words(pipe: BinaryIO, kind: bytes, words: dict[str, Any]) -> None:
    """Put one message of names and values into the pipe."""
    send(pipe, kind, json.dumps(words).encode())


def received(pipe: BinaryIO) -> Iterator[tuple[bytes, bytes]]:
    """Messages until the pipe ends; one that is cut short or absurdly long ends it too."""
    while len(head := pipe.read(HEAD.size)) == HEAD.size:
        kind, length = HEAD.unpack(head)
        if length > LONGEST or len(payload := pipe.read(length)) < length:
            return
        yield kind, payload
