"""Live listening: numbered half seconds come in, one speed or "cannot tell" goes out.

Sessions live in this process, because the server runs one worker: what they hold is half a minute of
sound, not a record. A piece that does not follow on the last one restarts its session.
"""

import io
import threading
import time
import wave
from collections import OrderedDict
from dataclasses import dataclass, field

import numpy as np
from django.utils.translation import gettext

from snath.decisions.machine.parts import Machine
from snath.decisions.reading.merge import orders_from_machine, reading_from_sound
from snath.decisions.reading.reading import Reading
from snath.formulas.signals.sound import speed_from_sound
from snath.quantities.errors import InputError

MOST_SESSIONS = 32
FORGOTTEN_AFTER = 600.0  # s
LISTENED = 4.0  # s of sound a live figure rests on
FIRST = 0.75  # s before which no figure is tried
KEPT = 60.0  # s of sound that can be kept for a job
RATES = (4_000, 192_000)
LARGEST_PIECE = 2 * 192_000  # bytes: a second of 16 bit at the highest rate


@dataclass(slots=True)
class Session:
    """What one page has heard so far."""

    rate: int
    machine: Machine | None
    next_start: int = 0
    number: int = -1
    restarts: int = 0
    pieces: list[np.ndarray] = field(default_factory=list)
    used: float = field(default_factory=time.monotonic)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def push(self, samples: np.ndarray, start: int, number: int) -> Reading:
        """Take one piece; what does not follow on starts anew."""
        if start != self.next_start or number != self.number + 1:
            self.restarts += bool(self.pieces)
            self.pieces.clear()
        self.pieces.append(samples)
        self.next_start, self.number, self.used = start + len(samples), number, time.monotonic()
        most = int(KEPT * self.rate)
        while sum(map(len, self.pieces[1:])) > most:
            self.pieces.pop(0)
        return self._reading()

    def _reading(self) -> Reading:
        heard = np.concatenate(self.pieces)[-int(LISTENED * self.rate) :].astype(np.float32) / 32768
        if len(heard) < FIRST * self.rate:
            return Reading(method="sound", why="listening")
        result = speed_from_sound(heard, float(self.rate), orders_from_machine(self.machine))
        return reading_from_sound(result, self.machine)


_sessions: OrderedDict[str, Session] = OrderedDict()
_door = threading.Lock()


def session_of(key: str, rate: int, machine: Machine | None) -> Session:
    """The session of that page, made where there is none; the oldest make room."""
    if not RATES[0] <= rate <= RATES[1]:
        raise InputError("rate", rate, f"must be at least {RATES[0]} and at most {RATES[1]} samples a second")
    with _door:
        moment = time.monotonic()
        for old in [k for k, s in _sessions.items() if moment - s.used > FORGOTTEN_AFTER]:
            del _sessions[old]
        session = _sessions.get(key)
        if session is None or session.rate != rate:
            session = _sessions[key] = Session(rate, machine)
        _sessions.move_to_end(key)
        while len(_sessions) > MOST_SESSIONS:
            _sessions.popitem(last=False)
        return session


def heard_as_wav(key: str) -> bytes:
    """What a session heard since its last gap, as a sound file."""
    with _door:
        session = _sessions.get(key)
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
