"""Hand on the sound of a file, mono, second by second: for use in the locked child only."""

import contextlib
from typing import Any, BinaryIO

import av
import numpy as np
from numpy.typing import NDArray

from snath.quantities.message import Message
from snath.shop.media import wire
from snath.shop.media.decoding import claimed_seconds, decoded, opened, stream_of
from snath.shop.media.refusal import RefusedError

NO_SOUND = Message("media.no-sound")

RATES = (4_000, 192_000)  # Hz served
DELIVERED = 48_000  # Hz; what is faster is brought down to this, far over any order of an engine
GAP, FILL = 0.05, 60.0  # s: a jump in the time stamps worth filling, and how much may be filled


def send_sound(file: BinaryIO, pipe: BinaryIO, request: dict[str, Any]) -> None:
    """The sound of a file, mono, second by second."""
    longest, faults = float(request["longest_s"]), list[Message | str]()
    with opened(file) as container:
        stream = stream_of(container, "audio", NO_SOUND)
        rate = int(stream.rate or 0)
        if not RATES[0] <= rate <= RATES[1]:
            raise RefusedError(Message("media.sample-rate", rate=rate, low=RATES[0], high=RATES[1]))
        seconds = claimed_seconds(container, file)
        if seconds is not None and seconds > longest:
            raise RefusedError(Message("media.too-long", minutes=seconds / 60, most=longest / 60))
        share = -(-rate // DELIVERED)
        out_rate = rate // share if rate % share == 0 else DELIVERED
        about = {
            "file_rate": rate,
            "rate": out_rate,
            "channels": stream.channels,
            "seconds": seconds,
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
        raise RefusedError(Message("media.no-sound-because", why=faults[0]) if faults else NO_SOUND)
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
            raise RefusedError(Message("media.over-minutes", minutes=self.most / self.rate / 60))
        if self.waiting >= self.rate:
            self.flush()

    def flush(self) -> None:
        """Send what is held."""
        if self.waiting:
            block = np.concatenate(self.held).astype("<f4", copy=False)
            wire.send(self.pipe, wire.SOUND, block.tobytes())
            self.count += self.waiting
            self.held, self.waiting = [], 0
