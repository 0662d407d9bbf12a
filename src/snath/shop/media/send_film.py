"""Hand on the pictures of a film as coarse cells with their time stamps: for use in the locked child only."""

import contextlib
from typing import Any, BinaryIO

import numpy as np
from numpy.typing import NDArray

from snath.shop.media import wire
from snath.shop.media.decoding import claimed_seconds, decoded, opened, stream_of
from snath.shop.media.refusal import RefusedError

PIXELS = 4096 * 2304
CELLS = 96  # most cells of the coarse picture in a row
LATTICE = 6
FRAMES, FILM_S = 20_000, 120.0  # a film is read this far


def send_film(file: BinaryIO, pipe: BinaryIO, request: dict[str, Any]) -> None:
    """The pictures of a film as coarse cells, each frame with its time stamp."""
    del request
    faults, sent, first = list[str](), 0, None
    with opened(file) as container:
        stream = stream_of(container, "video", "film")
        width, height = stream.codec_context.width, stream.codec_context.height
        if not (0 < width * height <= PIXELS and min(width, height) >= 8):
            raise RefusedError(
                f"has pictures of {width} by {height} points; 8 by 8 to 4096 by 2304 are served"
            )
        stream.thread_type = "AUTO"
        tags = {**container.metadata, **stream.metadata}
        wire.send_words(
            pipe,
            wire.ABOUT,
            {
                "format": container.format.name,
                "codec": stream.codec_context.name,
                "width": width,
                "height": height,
                "seconds": claimed_seconds(container, file),
                "sound": any(s.type == "audio" for s in container.streams),
                "capture_rate": capture_rate(tags),
                "tick_s": float(stream.time_base or 0),
            },
        )
        for frame in decoded(container, stream, faults):
            if frame.pts is None or (frame.width, frame.height) != (width, height):
                faults.append("a picture without a time stamp, or of another size")
                continue
            at = float(frame.pts * frame.time_base)
            first = at if first is None else first
            if sent >= FRAMES or at - first > FILM_S:
                break
            cells = coarse(luma(frame))
            wire.send(pipe, wire.FRAME, np.array([at, *cells.shape], "<f8").tobytes() + cells.tobytes())
            sent += 1
    if not sent:
        raise RefusedError("holds no film that can be decoded" + (f" ({faults[0]})" if faults else ""))
    wire.send_words(pipe, wire.ABOUT, {"faults": len(faults)})


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

    Every point would cost a seventh of the decoding; a lattice of `LATTICE` by `LATTICE` a twentieth.
    """
    side = -(-max(picture.shape) // CELLS)
    taken = min(side, LATTICE)
    rows, columns = picture.shape[0] // side, picture.shape[1] // side
    starts = [k * side // taken for k in range(taken)]
    band = np.zeros((rows, columns * side), dtype=np.uint16)
    for start in starts:
        band += picture[start : rows * side : side, : columns * side]
    total = np.zeros((rows, columns), dtype=np.uint32)
    for start in starts:
        total += band[:, start::side][:, :columns]
    return np.asarray(total * 256 // taken**2, dtype="<u2")
