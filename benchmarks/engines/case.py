"""What is to be recorded, and the recording with its truth: the one interface of all families.

Families share nothing but these types. Each has laws of its own for how the speed goes, how the engine sounds and
what the phone does to it, so that a wrong idea in one is not in all.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
NEVER = float("inf")
BAND = (20.0, 4000.0)  # Hz in which levels are compared, as recorded


@dataclass(frozen=True, slots=True)
class Engine:
    """What a sheet says of an engine: firings as places in the cycle, idle and rated speed. [rev/s]"""

    name: str
    strokes: int
    firings: tuple[float, ...]
    idle: float
    rated: float

    @property
    def turns(self) -> int:
        """Turns of one working cycle."""
        return self.strokes // 2

    @property
    def even(self) -> bool:
        """Whether its firings come at equal distances."""
        gaps = np.diff((*self.firings, 1 + self.firings[0]))
        return bool(np.allclose(gaps, 1 / len(self.firings), atol=0.01))


@dataclass(frozen=True, slots=True)
class Part:
    """A bladed part: its true and nominal speed over the engine's, tips, and level beside the engine. [dB]"""

    ratio: float
    nominal: float
    tips: int
    db: float


@dataclass(frozen=True, slots=True)
class Course:
    """How the speed goes.

    Attributes
    ----------
    situation : str
        held, drift, ramp, hunting, step, wandering, throttled or run-down.
    rev_s : float
        Speed it starts from or swings about. [rev/s]
    seconds : float
        Length of the clip. [s]
    amount : float
        Drift over the clip, ramp a second, swing to each side, or step, as a signed share of the speed.
    tempo : float
        Hunting rate [Hz]; time constant of a step or of throttling, time from edge to edge of a wander, or time from
        release to rest. [s]
    at_s : float
        When it steps, is throttled or let go. [s]
    target : float
        Speed after throttling. [rev/s]
    quieter_db : float
        How much quieter it is after throttling. [dB]
    """

    situation: str
    rev_s: float
    seconds: float
    amount: float = 0.0
    tempo: float = 1.0
    at_s: float = NEVER
    target: float = 0.0
    quieter_db: float = 0.0


@dataclass(frozen=True, slots=True)
class Cycles:
    """How unlike single cycles are: shares of length, of strength, of strength to each side in turn, and misfires."""

    jitter: float
    scatter: float
    alternating: float = 0.0
    misfires: float = 0.0


@dataclass(frozen=True, slots=True)
class Beside:
    """A second engine, its speed [rev/s] and its level beside the first. [dB]"""

    engine: Engine
    rev_s: float
    db: float


@dataclass(frozen=True, slots=True)
class Phone:
    """What the phone does: high-pass [Hz], telephone band, gain control, stops, clock, rate [Hz] and codec."""

    high_pass: float
    telephone: bool
    agc: bool
    clipped: bool
    clock: float
    rate: int
    codec: str


@dataclass(frozen=True, slots=True)
class Case:
    """One recording to be made; levels in dB beside the engine, None where there is no such sound."""

    number: int
    seed: tuple[int, ...]
    engine: Engine
    course: Course
    cycles: Cycles
    part: Part | None
    beside: Beside | None
    outlet: str
    room: str
    snr_db: float
    wind_db: float | None
    speech_db: float | None
    hum_db: float | None
    phone: Phone

    @property
    def tags(self) -> dict[str, object]:
        """What distinguishes it, in words and numbers, for tables and for worst clips."""
        phone = self.phone
        return {
            "engine": self.engine.name,
            "situation": self.course.situation,
            "rpm": round(60 * self.course.rev_s),
            "snr_db": self.snr_db,
            "alternating": round(self.cycles.alternating, 3),
            "misfires": round(self.cycles.misfires, 3),
            "part": "none" if self.part is None else "direct" if self.part.nominal == 1.0 else "belt",
            "beside": self.beside is not None,
            "outlet": self.outlet,
            "room": self.room,
            "wind": self.wind_db is not None,
            "speech": self.speech_db is not None,
            "hum": self.hum_db is not None,
            "telephone": phone.telephone,
            "agc": phone.agc,
            "clipped": phone.clipped,
            "codec": phone.codec,
            "rate": phone.rate,
        }


@dataclass(frozen=True, slots=True)
class Clip:
    """A recording and what its crankshaft truly did.

    Attributes
    ----------
    samples, rate : ndarray, float
        One channel, -1 to 1, and samples a second that the file claims. [Hz]
    t_s, turns : ndarray
        Moments and the angle reached, straight in between. [s], [turn]
    released_s, still_s : float
        When it was let go and when it stood still; infinite where it was and did not. [s]
    """

    samples: NDArray[np.float32]
    rate: float
    t_s: Array
    turns: Array
    released_s: float = NEVER
    still_s: float = NEVER

    @property
    def seconds(self) -> float:
        """Length of the recording. [s]"""
        return len(self.samples) / self.rate

    def speed_over(self, start_s: float, end_s: float) -> float:
        """Turns made between two moments over the time between them. [rev/s]"""
        first, last = np.interp([start_s, end_s], self.t_s, self.turns)
        return float((last - first) / (end_s - start_s))

    def speed_at(self, at_s: Array, over: float = 0.1) -> Array:
        """Turns made about these moments over so much time. [rev/s]"""
        ends = np.interp(np.add.outer([-over / 2, over / 2], at_s), self.t_s, self.turns)
        return np.asarray((ends[1] - ends[0]) / over, dtype=np.float64)
