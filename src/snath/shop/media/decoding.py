"""Open a container and take its frames out, damaged ones left out: for use in the locked child only."""

import os
from collections.abc import Iterator
from typing import Any, BinaryIO

import av

from snath.quantities.message import Message
from snath.shop.media.refusal import RefusedError

FORMATS = "wav,w64,flac,mp3,ogg,mov,mp4,m4a,matroska,webm,aac"
CODECS = (
    "pcm_u8,pcm_s16le,pcm_s16be,pcm_s24le,pcm_s32le,pcm_f32le,pcm_f64le,pcm_alaw,pcm_mulaw,flac,alac,mp3,mp3float,"
    "vorbis,opus,libopus,aac,h264,hevc,vp8,vp9,libvpx,libvpx-vp9,av1,libdav1d,mpeg4,mjpeg"
)
OPTIONS = {"format_whitelist": FORMATS, "protocol_whitelist": "", "codec_whitelist": CODECS}
FAULTS = 200  # unreadable pieces after which the rest is left
SPARE = 500.0  # bytes a second: less than any sound, so a longer claim of length is a lie


def opened(file: BinaryIO) -> Any:
    """The container, of a format served, that names no other file."""
    try:
        return av.open(file, "r", options=OPTIONS, metadata_errors="replace")
    except av.FFmpegError as fault:
        raise RefusedError(Message("media.no-such-format", why=plain(fault))) from None


def stream_of(container: Any, kind: str, missing: Message) -> Any:
    """The stream to decode, refused as `missing` where there is none; a cover picture is no film."""
    streams = [s for s in container.streams if s.type == kind and not is_cover(s)]
    streams = [s for s in streams if getattr(s, "codec_context", None) is not None]
    if not streams:
        raise RefusedError(missing)
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


def decoded(container: Any, stream: Any, faults: list[Message | str]) -> Iterator[Any]:
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


def plain(fault: BaseException) -> str:
    """The decoder's complaint without its function names and addresses."""
    text = getattr(fault, "strerror", None) or str(fault) or type(fault).__name__
    return str(text).split(";")[0][:80].lower()
