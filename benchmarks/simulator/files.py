"""Make a sound or film file: for simulated clips, tests and the demo, never from a customer's clip."""

from collections.abc import Iterable
from fractions import Fraction
from io import BytesIO
from typing import Any

import av
import numpy as np
from numpy.typing import NDArray

CODECS = {  # suffix: (container, codec, sample format, bits a second)
    "wav": ("wav", "pcm_s16le", "s16", None),
    "flac": ("flac", "flac", "s16", None),
    "mp3": ("mp3", "libmp3lame", "s16p", 96_000),
    "ogg": ("ogg", "libopus", "flt", 64_000),
    "m4a": ("ipod", "aac", "fltp", 96_000),
    "mp4": ("mp4", "aac", "fltp", 96_000),
    "webm": ("webm", "libopus", "flt", 64_000),
}
BLOCK = 65_536  # samples handed over at once
TICK = Fraction(1, 90_000)  # s, unit of a film's time stamps


def sound_file(samples: NDArray[np.float32], rate: float, kind: str) -> bytes:
    """A whole sound file in memory.

    Parameters
    ----------
    samples : ndarray
        Between -1 and 1; one row a channel, or one channel alone.
    rate : float
        Samples a second. [Hz]
    kind : str
        wav, flac, mp3, ogg, m4a, mp4 or webm.
    """
    container, codec, layout, bits = CODECS[kind]
    channels = np.atleast_2d(samples)
    whole = np.clip(channels, -1, 1)
    whole = (whole * 32767).astype(np.int16) if layout.startswith("s16") else whole.astype(np.float32)
    whole = np.ascontiguousarray(whole if layout.endswith("p") else whole.T.reshape(1, -1))
    step = BLOCK if layout.endswith("p") else BLOCK * len(channels)
    file = BytesIO()
    with av.open(file, "w", format=container) as out:
        stream: Any = out.add_stream(codec, rate=round(rate))
        stream.layout = "stereo" if len(channels) == 2 else "mono"
        if bits:
            stream.bit_rate = bits
        done = 0
        for start in range(0, whole.shape[1], step):
            frame = av.AudioFrame.from_ndarray(
                np.ascontiguousarray(whole[:, start : start + step]), format=layout, layout=stream.layout.name
            )
            frame.sample_rate, frame.pts = round(rate), done
            done += frame.samples
            out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    return file.getvalue()


def film_file(
    frames: Iterable[NDArray[np.uint8]],
    t_s: Iterable[float],
    *,
    size: tuple[int, int],
    kind: str = "mp4",
    codec: str = "libx264",
    effort: str = "ultrafast",
    sound: tuple[NDArray[np.float32], float] | None = None,
) -> bytes:
    """A whole film in memory, each picture with its own time stamp.

    Parameters
    ----------
    frames : iterable of ndarray
        Grey pictures, rows by columns.
    t_s : iterable of float
        When each began. [s]
    size : (int, int)
        Rows and columns, both even.
    kind, codec : str
        Container, and how the pictures are coded.
    effort : str
        The H.264 encoder's preset: the quickest leaves out what makes decoding dear.
    sound : (ndarray, float) or None
        One channel of sound and its samples a second, to go with the pictures. [1], [Hz]
    """
    file = BytesIO()
    with av.open(file, "w", format=kind) as out:
        stream: Any = out.add_stream(codec, rate=240)
        stream.height, stream.width, stream.pix_fmt = size[0], size[1], "yuv420p"
        stream.time_base = stream.codec_context.time_base = TICK
        if codec == "libx264":
            stream.options = {"preset": effort, "crf": "23", "bf": "0"}
        track: Any = out.add_stream("aac", rate=round(sound[1]), layout="mono") if sound else None
        for picture, moment in zip(frames, t_s, strict=True):
            frame = av.VideoFrame.from_ndarray(picture, format="gray").reformat(format="yuv420p")
            frame.pts, frame.time_base = round(moment / TICK), TICK
            out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
        if sound:
            _add_sound(out, track, *sound)
    return file.getvalue()


def _add_sound(out: Any, track: Any, samples: NDArray[np.float32], rate: float) -> None:
    """Code one channel of sound into a stream of its own."""
    for start in range(0, len(samples), BLOCK):
        piece = np.ascontiguousarray(samples[None, start : start + BLOCK], dtype=np.float32)
        frame = av.AudioFrame.from_ndarray(piece, format="fltp", layout="mono")
        frame.sample_rate, frame.pts = round(rate), start
        out.mux(track.encode(frame))
    out.mux(track.encode(None))
