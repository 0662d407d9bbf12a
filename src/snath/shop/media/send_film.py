"""Hand on the pictures of a film as coarse cells with their time stamps: for use in the locked child only."""

import contextlib
import time
from typing import Any, BinaryIO

import numpy as np
from numpy.typing import NDArray

from snath.quantities.message import Message
from snath.shop.media import wire
from snath.shop.media.decoding import claimed_seconds, decoded, opened, stream_of
from snath.shop.media.refusal import RefusedError

NO_FILM = Message("media.no-film")

PIXELS = 4096 * 2304
CELLS = 96  # most cells of the coarse picture in a row
LATTICE = (2, 8)  # rows and columns of points that stand for a cell
TOGETHER, LONGEST_WAIT = 32, 0.5  # pictures handed on at a time, and s for which the first may wait
FRAMES, FILM_S = 20_000, 120.0  # a film is read this far


def send_film(file: BinaryIO, pipe: BinaryIO, request: dict[str, Any]) -> None:
    """The pictures of a film as coarse cells, each frame with its time stamp."""
    del request
    faults, sent, first = list[Message | str](), 0, None
    with opened(file) as container:
        stream = stream_of(container, "video", NO_FILM)
        width, height = stream.codec_context.width, stream.codec_context.height
        if not (0 < width * height <= PIXELS and min(width, height) >= 8):
            raise RefusedError(Message("media.picture-size", width=width, height=height))
        stream.thread_type = "AUTO"
        tags = {**container.metadata, **stream.metadata}
        wire.send_words(
            pipe,
            wire.ABOUT,
            {
                "seconds": claimed_seconds(container, file),
                "sound": any(s.type == "audio" for s in container.streams),
                "capture_rate": capture_rate(tags),
            },
        )
        bundle = Bundle(pipe)
        for frame in decoded(container, stream, faults):
            if frame.pts is None or (frame.width, frame.height) != (width, height):
                faults.append(Message("media.odd-picture"))
                continue
            at = float(frame.time)
            first = at if first is None else first
            if sent >= FRAMES or at - first > FILM_S:
                break
            bundle.add(at, coarse(luma(frame)))
            sent += 1
        bundle.close()
    if not sent:
        raise RefusedError(Message("media.no-film-because", why=faults[0]) if faults else NO_FILM)
    wire.send_words(pipe, wire.ABOUT, {"faults": len(faults)})


class Bundle:
    """Pictures on their way: each by itself would cost both sides as much as working it out.

    A slow decoder still gives a word twice a second, or it would be taken for a hanging one.
    """

    def __init__(self, pipe: BinaryIO) -> None:
        self.pipe = pipe
        self.times: list[float] = []
        self.cells: list[NDArray[np.uint16]] = []
        self.last = time.monotonic()

    def add(self, at: float, cells: NDArray[np.uint16]) -> None:
        """One more picture."""
        self.times.append(at)
        self.cells.append(cells)
        if len(self.times) >= TOGETHER or time.monotonic() - self.last > LONGEST_WAIT:
            self.close()

    def close(self) -> None:
        """Send what is there."""
        if self.times:
            head = np.array([len(self.times), *self.cells[0].shape, *self.times], "<f8")
            wire.send(self.pipe, wire.FRAMES, head.tobytes() + b"".join(c.tobytes() for c in self.cells))
            if len(self.times) < TOGETHER:
                self.pipe.flush()
        self.times, self.cells, self.last = [], [], time.monotonic()


def capture_rate(tags: dict[str, str]) -> float | None:
    """Frames a second at which a slow-motion film was taken, where the phone wrote it down."""
    for name, value in tags.items():
        if name.lower().endswith("capture.fps"):
            with contextlib.suppress(ValueError):
                return float(value) if 1 <= float(value) <= 10_000 else None
    return None


def luma(frame: Any) -> NDArray[np.uint8]:
    """The brightness of a frame, without a copy where its layout allows."""
    if frame.format.name not in ("yuv420p", "yuvj420p", "yuv422p", "yuvj422p", "yuv444p", "nv12", "gray"):
        frame = frame.reformat(format="gray")
    plane = frame.planes[0]
    rows = np.frombuffer(plane, np.uint8).reshape(plane.height, plane.line_size)
    return rows[:, : plane.width]


def coarse(picture: NDArray[np.uint8]) -> NDArray[np.uint16]:
    """Mean brightness of square cells, times 256, from a lattice of points in each.

    Every point would cost a fifth of the decoding, this lattice a tenth. A row costs more than a column:
    its points lie side by side and come into reach together.
    """
    side = -(-max(picture.shape) // CELLS)
    rows, columns = picture.shape[0] // side, picture.shape[1] // side
    down, across = min(side, LATTICE[0]), min(side, LATTICE[1])
    lines = picture[: rows * side, : columns * side].reshape(rows, side, columns * side)
    step = side // down
    band = np.add.reduce(lines[:, : down * step : step], axis=1, dtype=np.uint16)
    total = np.zeros((rows, columns), dtype=np.uint32)
    for k in range(across):
        total += band[:, k * side // across :: side]
    return np.asarray(total * 256 // (down * across), dtype="<u2")
