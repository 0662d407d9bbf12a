"""Hold what is said of a recording before it is read, and what reading it gives."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from snath.decisions.machine.parts import CRANKSHAFT, Condition, Machine
from snath.decisions.reading.compared import Comparison
from snath.decisions.reading.reading import Reading
from snath.formulas.signals.candidates import Track
from snath.formulas.signals.film.read import NOTHING_KNOWN
from snath.formulas.signals.film.result import LightResult
from snath.formulas.signals.film.shutter import Shutter
from snath.formulas.signals.pulses.result import PulseResult
from snath.formulas.signals.sound_result import SoundResult
from snath.quantities.message import Message

Kind = Literal["sound", "pulses", "light"]
Result = SoundResult | PulseResult | LightResult
Progress = Callable[[float, float | None], None]  # seconds read so far, and of how many


@dataclass(frozen=True, slots=True)
class ReadRequest:
    """What somebody said about a recording.

    Attributes
    ----------
    kind : str or None
        How to read it; None lets the file decide.
    machine : Machine or None
        Whose sheet tells strokes, firing and ratios.
    shaft : str
        Where it was taken.
    condition : str
        blades off, blades in air, cutting or peak.
    per_turn : float, "spark" or None
        Pulses a turn, or "spark" for what the sheet's ignition gives.
    clock : float or None
        Counts a second of a pulse log. [Hz]
    marks : int or None
        Alike marks or tips on the filmed part; None where nobody told, and then no film is decided.
    capture_rate : float or None
        Frames a second at which a slow-motion film was taken, confirmed by somebody. [1/s]
    clock_in_view : (float, float) or None
        Time between two frames by the film, and by a clock seen in it. [s]
    shutter : Shutter
        How the pictures of a film were taken.
    comparisons : tuple of Comparison
        This shop's own, beside a tachometer.
    recorder : str
        Which phone or pick-up it was, so that only its own comparisons count; empty for any.
    begin_s, end_s : float or None
        The stretch to read alone, on the recording's clock (`stretch`); None for its begin and end. [s]
    """

    kind: Kind | None = None
    machine: Machine | None = None
    shaft: str = CRANKSHAFT
    condition: Condition = "blades in air"
    per_turn: float | Literal["spark"] | None = None
    clock: float | None = None
    marks: int | None = None
    capture_rate: float | None = None
    clock_in_view: tuple[float, float] | None = None
    shutter: Shutter = NOTHING_KNOWN
    comparisons: tuple[Comparison, ...] = ()
    recorder: str = ""
    begin_s: float | None = None
    end_s: float | None = None

    @property
    def part(self) -> bool:
        """Whether only a stretch of it is to be read."""
        return self.begin_s is not None or self.end_s is not None

    @property
    def from_s(self) -> float:
        """Where on the recording the reading begins. [s]"""
        return 0.0 if self.begin_s is None else self.begin_s


@dataclass(frozen=True, slots=True)
class ReadResult:
    """What a recording says.

    Attributes
    ----------
    reading : Reading
        One speed, or an undecided one with its candidates.
    kind : str
        How it was read.
    seconds : float
        Length of what was read. [s]
    result : SoundResult, PulseResult or LightResult
        All that the method found.
    track : Track or None
        Speed over time, where it was found; its times are those of the recording, whatever was read of it.
    notes : tuple of Message
        What to know of the file besides.
    begin_s : float
        Where on the recording what was read begins. [s]
    """

    reading: Reading
    kind: Kind
    seconds: float
    result: Result
    track: Track | None
    notes: tuple[Message, ...] = ()
    begin_s: float = 0.0

    @property
    def low(self) -> float | None:
        """The slowest it ran. [rev/s]"""
        return getattr(self.result, "low", None)

    @property
    def high(self) -> float | None:
        """The fastest it ran. [rev/s]"""
        return getattr(self.result, "high", None)

    @property
    def drift(self) -> float | None:
        """How fast it drifted. [rev/s²]"""
        return getattr(self.result, "drift", None)
