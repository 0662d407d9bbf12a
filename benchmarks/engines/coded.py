"""Send samples through a real codec and back, at the low rates that phones and messengers use."""

from io import BytesIO
from typing import Any

import av
import numpy as np
from numpy.typing import NDArray

CONTAINERS = {"aac": ("ipod", "aac"), "opus": ("ogg", "libopus"), "mp3": ("mp3", "libmp3lame")}
BLOCK = 65_536


def through(codec: str, samples: NDArray[np.float32], rate: int) -> tuple[NDArray[np.float32], float]:
    """The samples as they come out of "aac_32000" (codec, bits a second), cut to their length, and their new rate."""
    if codec == "none":
        return samples, float(rate)
    name, bits = codec.split("_")
    container, encoder = CONTAINERS[name]
    file = BytesIO()
    with av.open(file, "w", format=container) as out:
        stream: Any = out.add_stream(encoder, rate=48_000 if name == "opus" else rate)
        stream.bit_rate, stream.layout = int(bits), "mono"
        resampler = av.AudioResampler(stream.codec_context.format, "mono", stream.rate)
        for start in range(0, len(samples), BLOCK):
            piece = np.ascontiguousarray(samples[None, start : start + BLOCK], dtype=np.float32)
            frame = av.AudioFrame.from_ndarray(piece, format="fltp", layout="mono")
            frame.sample_rate, frame.pts = rate, start
            for ready in resampler.resample(frame):
                out.mux(stream.encode(ready))
        for ready in resampler.resample(None):
            out.mux(stream.encode(ready))
        out.mux(stream.encode(None))
    file.seek(0)
    with av.open(file) as container_in:
        back_rate = container_in.streams.audio[0].rate
        back = np.concatenate(
            [_mono(frame.to_ndarray()) for frame in container_in.decode(audio=0)], dtype=np.float32
        )
    return np.clip(back[: round(len(samples) * back_rate / rate)], -1, 1), float(back_rate)


def _mono(frame: NDArray[Any]) -> NDArray[np.float32]:
    row = frame[0]
    return (row / 32768 if row.dtype == np.int16 else row).astype(np.float32)
