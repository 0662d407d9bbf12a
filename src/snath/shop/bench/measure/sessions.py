"""Live listening: numbered half seconds come in, one speed or "cannot tell" goes out.

Sessions live in this process: what they hold is half a minute of sound, not a record. Where benches share a database,
each writes its pieces down there, and whoever has a page's next one first hears what the others had of it. A piece that
does not follow on the last one restarts its session.
"""

import io
import threading
import time
import wave
from collections import OrderedDict
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt
from django.utils.translation import gettext

from snath.decisions.machine.parts import Machine
from snath.decisions.reading.live import LiveReader
from snath.decisions.reading.reading import Reading
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.records.heard import pieces, shared

Samples = npt.NDArray[np.int16]

MOST_SESSIONS = 32
FORGOTTEN_AFTER = 600.0  # s
FULL_SCALE = 32768  # of 16 bit
KEPT = 60.0  # s of sound that can be kept for a job
RATES = (4_000, 192_000)
LARGEST_PIECE = 2 * 192_000  # bytes: a second of 16 bit at the highest rate


@dataclass(slots=True)
class Session:
    """What one page has heard so far: the reader, and the sound itself since its last gap."""

    rate: int
    reader: LiveReader
    next_start: int = 0
    number: int = -1
    pieces: list[Samples] = field(default_factory=list)
    used: float = field(default_factory=time.monotonic)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def push(self, samples: Samples, start: int, number: int) -> Reading:
        """Take one piece; the reader itself starts anew where it does not follow on the last one."""
        if start != self.next_start or number != self.number + 1:
            self.pieces.clear()
        self.pieces.append(samples)
        self.next_start, self.number, self.used = start + len(samples), number, time.monotonic()
        while sum(map(len, self.pieces[1:])) > KEPT * self.rate:
            self.pieces.pop(0)
        return self.reader.push(np.divide(samples, FULL_SCALE, dtype=np.float32), start)

    def hear_others(self, key: str, before: int | None = None) -> None:
        """Hear the pieces of this page that other benches had since its last one here."""
        for one in pieces(key, after=self.number, before=before) if shared() else ():
            if one.rate == self.rate:
                self.push(np.frombuffer(bytes(one.sound), dtype="<i2"), one.start, one.number)


_sessions: OrderedDict[str, Session] = OrderedDict()
_door = threading.Lock()


def session_of(key: str, rate: int, machine: Machine | None) -> Session:
    """The session of that page, made where there is none; the oldest make room."""
    if not RATES[0] <= rate <= RATES[1]:
        raise InputError("rate", rate, Message("records.samples", least=RATES[0], most=RATES[1]))
    with _door:
        moment = time.monotonic()
        for old in [k for k, s in _sessions.items() if moment - s.used > FORGOTTEN_AFTER]:
            del _sessions[old]
        session = _sessions.get(key)
        if session is None or session.rate != rate:
            session = _sessions[key] = Session(rate, LiveReader(float(rate), machine))
        _sessions.move_to_end(key)
        while len(_sessions) > MOST_SESSIONS:
            _sessions.popitem(last=False)
        return session


def heard_as_wav(key: str) -> bytes:
    """What a session heard since its last gap, as a sound file."""
    with _door:
        session = _sessions.get(key)
    if session is None and shared():
        rates = [one.rate for one in pieces(key, after=-1)]
        session = session_of(key, rates[-1], None) if rates else None
    if session is not None:
        with session.lock:
            session.hear_others(key)
    if session is None or not session.pieces:
        raise InputError("recording", gettext("nothing"), gettext("what was heard is gone: listen again"))
    with session.lock:
        samples = np.concatenate(session.pieces)
    out = io.BytesIO()
    with wave.open(out, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(session.rate)
        file.writeframes(samples.astype("<i2").tobytes())
    return out.getvalue()
