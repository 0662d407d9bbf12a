"""The sound of a recording: mono, at its own rate, whole or second by second."""

import json
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from snath.quantities.message import Message
from snath.shop.media import wire
from snath.shop.media.decoder import LONGEST_S, Source, messages

Samples = NDArray[np.float32]


@dataclass(slots=True)
class SoundStream:
    """A recording's sound as it is decoded; what is known only at the end fills in by then.

    Attributes
    ----------
    rate, file_rate : float
        Samples a second as delivered, and in the file. [Hz]
    channels : int
        In the file; delivered is their mean.
    seconds : float or None
        Length the file claims. [s]
    blocks : iterator of ndarray
        Mono pieces of about a second, each but once. [1]
    gaps : list of (float, float)
        Stretches missing by the time stamps and filled with silence. [s]
    faults, odd : int
        Pieces that could not be decoded, and samples that were no number.
    """

    rate: float
    file_rate: float
    channels: int
    seconds: float | None
    blocks: Iterator[Samples]
    gaps: list[tuple[float, float]] = field(default_factory=list)
    faults: int = 0
    odd: int = 0

    @property
    def notes(self) -> tuple[Message, ...]:
        """What the user should know of the file, once it has been read to its end."""
        found = []
        if self.faults:
            found.append(Message("media.damaged-pieces", count=self.faults))
        if self.odd:
            found.append(Message("media.no-numbers", count=self.odd))
        if self.gaps:
            found.append(Message("media.gaps", count=len(self.gaps)))
        return tuple(found)


def sound_stream(source: Source, *, longest_s: float = LONGEST_S) -> SoundStream:
    """Open a recording; its sound comes out of `blocks`.

    Parameters
    ----------
    source : Path or bytes
        The file, or all of an upload.
    longest_s : float
        Refuse what is longer. [s]

    Raises
    ------
    InputError
        Where nothing can be decoded, here or while the blocks are read; it says why.
    """
    said = messages(source, {"what": "sound", "longest_s": longest_s})
    kind, payload = next(said)
    assert kind == wire.ABOUT
    about = json.loads(payload)
    stream = SoundStream(
        rate=float(about["rate"]),
        file_rate=float(about["file_rate"]),
        channels=int(about["channels"]),
        seconds=about["seconds"],
        blocks=iter(()),
    )
    stream.blocks = _blocks(stream, said)
    return stream


def _blocks(stream: SoundStream, said: Iterator[tuple[bytes, bytes]]) -> Iterator[Samples]:
    for kind, payload in said:
        if kind == wire.SOUND:
            yield np.frombuffer(payload, "<f4")
        elif kind == wire.ABOUT:
            about = json.loads(payload)
            stream.gaps = [(float(start), float(end)) for start, end in about["gaps"]]
            stream.faults, stream.odd = int(about["faults"]), int(about["odd"])


def whole(stream: SoundStream) -> Samples:
    """All that is left of a stream in one piece."""
    return np.concatenate([np.zeros(0, np.float32), *stream.blocks])
