"""Decode one file in a process of its own that can open nothing else, and hand on what is in it.

A media file comes from anybody's phone, and the decoder is a million lines of C. So it runs here, with
the file as its standard input: bounded in memory and computing time, unable to write, and, by the
limit on open files set once everything is loaded, unable to open a second file.
"""

import contextlib
import json
import os
import sys
from collections.abc import Iterator
from importlib import import_module
from typing import Any, BinaryIO

import av
import numpy as np
from numpy.typing import NDArray

from snath.shop.media import wire
from snath.shop.media.refusal import RefusedError

with contextlib.suppress(ImportError):  # no such limits on Windows; the parent's clock still holds
    import resource

FORMATS = "wav,w64,flac,mp3,ogg,mov,mp4,m4a,matroska,webm,aac"
CODECS = (
    "pcm_u8,pcm_s16le,pcm_s16be,pcm_s24le,pcm_s32le,pcm_f32le,pcm_f64le,pcm_alaw,pcm_mulaw,flac,alac,mp3,mp3float,"
    "vorbis,opus,libopus,aac,h264,hevc,vp8,vp9,libvpx,libvpx-vp9,av1,libdav1d,mpeg4,mjpeg"
)
OPTIONS = {"format_whitelist": FORMATS, "protocol_whitelist": "", "codec_whitelist": CODECS}
RATES = (4_000, 192_000)  # Hz served
DELIVERED = 48_000  # Hz; what is faster is brought down to this, far over any order of an engine
MEMORY, COMPUTING = 2 * 2**30, 900  # bytes and s
PIXELS = 4096 * 2304
CELLS = 96  # most cells of the coarse picture in a row
LATTICE = 6
FRAMES, FILM_S = 20_000, 120.0  # a film is read this far
FAULTS = 200  # unreadable pieces after which the rest is left
GAP, FILL = 0.05, 60.0  # s: a jump in the time stamps worth filling, and how much may be filled
LOADED_LATE = ("av.subtitles.stream", "av.subtitles.codeccontext", "av.data.stream", "av.video.reformatter")
SPARE = 500.0  # bytes a second: less than any sound, so a longer claim of length is a lie


def main() -> None:
    """Serve the one request on the command line."""
    request = json.loads(sys.argv[1])
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
        wire.send_words(pipe, wire.REFUSED, {"reason": str(refusal)})
    except MemoryError:
        wire.send_words(pipe, wire.REFUSED, {"reason": "needs more memory than a recording should"})
    except (av.FFmpegError, ValueError, OverflowError, ArithmeticError, AssertionError) as fault:
        wire.send_words(pipe, wire.REFUSED, {"reason": f"could not be decoded ({plain(fault)})"})
    pipe.flush()


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


def plain(fault: BaseException) -> str:
    """The decoder's complaint without its function names and addresses."""
    text = getattr(fault, "strerror", None) or str(fault) or type(fault).__name__
    return str(text).split(";")[0][:80].lower()


def opened(file: BinaryIO) -> Any:
    """The container, of a format served, that names no other file."""
    try:
        return av.open(file, "r", options=OPTIONS, metadata_errors="replace")
    except av.FFmpegError as fault:
        raise RefusedError(
            f"is no WAV, FLAC, MP3, OGG, M4A, MP4, MOV or WebM that can be opened ({plain(fault)})"
        ) from None


def stream_of(container: Any, kind: str, wanted: str) -> Any:
    """The stream to decode; a cover picture is no film."""
    streams = [s for s in container.streams if s.type == kind and not is_cover(s)]
    streams = [s for s in streams if getattr(s, "codec_context", None) is not None]
    if not streams:
        raise RefusedError(f"holds no {wanted} that can be decoded")
    return streams[0]


def is_cover(stream: Any) -> bool:
    """Whether a stream is a still picture attached to a song."""
    return bool(int(stream.disposition) & 0x400)


def claimed_seconds(container: Any, file: BinaryIO) -> float | None:
    """How long the file says it is, where its size allows that."""
    if container.duration is None or container.duration <= 0:
        return None
    seconds = container.duration / av.time_base
    return float(seconds) if seconds * SPARE <= os.fstat(file.fileno()).st_size + SPARE else None


def decoded(container: Any, stream: Any, faults: list[str]) -> Iterator[Any]:
    """Every frame that can be had; damaged pieces are skipped and counted."""
    packets = container.demux(stream)
    while len(faults) < FAULTS:
        try:
            packet = next(packets)
            yield from packet.decode()
        except StopIteration:
            return
        except av.EOFError:
            return
        except av.FFmpegError as fault:
            faults.append(plain(fault))
    return


def send_probe(file: BinaryIO, pipe: BinaryIO, request: dict[str, Any]) -> None:
    """What kinds of stream there are."""
    del request
    with opened(file) as container:
        wire.send_words(
            pipe,
            wire.ABOUT,
            {
                "format": container.format.name,
                "seconds": claimed_seconds(container, file),
                "sound": any(s.type == "audio" for s in container.streams),
                "film": any(s.type == "video" and not is_cover(s) for s in container.streams),
            },
        )


def send_sound(file: BinaryIO, pipe: BinaryIO, request: dict[str, Any]) -> None:
    """The sound of a file, mono, second by second."""
    longest, faults = float(request["longest_s"]), list[str]()
    with opened(file) as container:
        stream = stream_of(container, "audio", "sound")
        rate = int(stream.rate or 0)
        if not RATES[0] <= rate <= RATES[1]:
            raise RefusedError(f"has {rate} samples a second; {RATES[0]} to {RATES[1]} are served")
        seconds = claimed_seconds(container, file)
        if seconds is not None and seconds > longest:
            raise RefusedError(f"is {seconds / 60:.0f} minutes long; at most {longest / 60:.0f} can be read")
        share = -(-rate // DELIVERED)
        out_rate = rate // share if rate % share == 0 else DELIVERED
        about = {
            "format": container.format.name,
            "codec": stream.codec_context.name,
            "file_rate": rate,
            "rate": out_rate,
            "channels": stream.channels,
            "seconds": seconds,
            "start_s": float((stream.start_time or 0) * stream.time_base) if stream.time_base else 0.0,
        }
        wire.send_words(pipe, wire.ABOUT, about)
        sent = Blocks(pipe, out_rate, longest)
        resampler: Any = av.AudioResampler(format="fltp", rate=out_rate)
        clock = Clock(rate)
        for frame in decoded(container, stream, faults):
            sent.silence(clock.gap_before(frame))
            for piece in resampler.resample(frame):
                sent.add(piece.to_ndarray())
        with contextlib.suppress(av.FFmpegError, ValueError):
            for piece in resampler.resample(None):
                sent.add(piece.to_ndarray())
        sent.flush()
    if not sent.count:
        raise RefusedError("holds no sound that can be decoded" + (f" ({faults[0]})" if faults else ""))
    wire.send_words(pipe, wire.ABOUT, {"gaps": sent.gaps, "faults": len(faults), "odd": sent.odd})


class Clock:
    """Compares each frame's time stamp with the samples counted so far."""

    def __init__(self, rate: int) -> None:
        self.rate, self.next_s, self.filled = rate, None, 0.0

    def gap_before(self, frame: Any) -> float:
        """Seconds missing before this frame, nought where the stamps run on or make no sense."""
        if frame.pts is None or not frame.time_base:
            return 0.0
        at = float(frame.pts * frame.time_base)
        expected: float = at if self.next_s is None else self.next_s
        missing = at - expected
        fill = missing if GAP < missing <= FILL - self.filled else 0.0
        self.filled += fill
        self.next_s = expected + fill + frame.samples / self.rate
        return fill


class Blocks:
    """Gathers what is decoded into mono blocks of about a second and sends them."""

    def __init__(self, pipe: BinaryIO, rate: int, longest_s: float) -> None:
        self.pipe, self.rate, self.most = pipe, rate, longest_s * rate
        self.held: list[NDArray[np.float32]] = []
        self.waiting = self.count = self.odd = 0
        self.gaps: list[tuple[float, float]] = []
        self.one_channel = False

    def add(self, channels: NDArray[np.float32]) -> None:
        """Take in one piece, channels by samples."""
        bad = ~np.isfinite(channels) | (np.abs(channels) > 8)
        if bad.any():
            self.odd += int(bad.sum())
            channels = np.where(bad, 0, channels)
        self._hold(self._mono(channels))

    def silence(self, seconds: float) -> None:
        """Stand in for what is missing, so that everything after it keeps its time."""
        if seconds:
            at = (self.count + self.waiting) / self.rate
            self.gaps.append((at, at + seconds))
            self._hold(np.zeros(round(seconds * self.rate), dtype=np.float32))

    def _mono(self, channels: NDArray[np.float32]) -> NDArray[np.float32]:
        mean = channels.mean(axis=0, dtype=np.float32)
        if len(channels) > 1 and not self.one_channel:
            # Two channels of opposite sign would cancel; then one of them is heard alone.
            self.one_channel = bool(np.mean(mean**2) < 0.02 * np.mean(channels**2))
        return np.asarray(channels[0] if self.one_channel else mean, dtype=np.float32)

    def _hold(self, mono: NDArray[np.float32]) -> None:
        self.held.append(mono)
        self.waiting += len(mono)
        if self.count + self.waiting > self.most:
            raise RefusedError(f"is over {self.most / self.rate / 60:.0f} minutes long")
        if self.waiting >= self.rate:
            self.flush()

    def flush(self) -> None:
        """Send what is held."""
        if self.waiting:
            block = np.concatenate(self.held).astype("<f4", copy=False)
            wire.send(self.pipe, wire.SOUND, block.tobytes())
            self.count += self.waiting
            self.held, self.waiting = [], 0


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


if __name__ == "__main__":
    main()
