"""Hold the speeds that fit a list of pulses."""

from dataclasses import dataclass

from snath.formulas.signals.candidates import Candidate, Track
from snath.quantities.measured import Measured
from snath.quantities.message import Message


@dataclass(frozen=True, slots=True)
class PulseResult:
    """Speeds that fit a list of pulses.

    Attributes
    ----------
    candidates : tuple of Candidate
        All that fit, likeliest first.
    decided : bool
        Whether they leave one speed.
    steady : Measured or None
        Turns counted over time, with its budget. [rev/s]
    track : Track or None
        Speed turn by turn.
    per_turn : float or None
        Places a turn that the speed was worked out with.
    found : str
        What the pulses themselves say of the wheel.
    missed, doubled : int
        Pulses that were not there and that were there twice.
    span_s : (float, float)
        First and last pulse that were counted from and to, since the first of the list. [s]
    jitter : float
        Standard deviation of single turns, as a share, the slow changes taken out.
    drift : float
        Slope of a straight line through the track. [rev/s per s]
    low, high : float or None
        Range of the track. [rev/s]
    notes : tuple of Message
        What to know besides.
    """

    candidates: tuple[Candidate, ...]
    decided: bool
    steady: Measured | None = None
    track: Track | None = None
    per_turn: float | None = None
    found: Message | str = ""
    missed: int = 0
    doubled: int = 0
    span_s: tuple[float, float] = (0.0, 0.0)
    jitter: float = 0.0
    drift: float = 0.0
    low: float | None = None
    high: float | None = None
    notes: tuple[Message, ...] = ()
