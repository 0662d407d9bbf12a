"""Hold what a recording of sound says about speed: over time, steady, and everything else that fits."""

from dataclasses import dataclass

from snath.formulas.signals.candidates import Candidate, Track
from snath.quantities.measured import Measured
from snath.quantities.message import Message


@dataclass(frozen=True, slots=True)
class SoundResult:
    """Speeds found in a recording.

    Attributes
    ----------
    track : Track
        The likeliest candidate's speed over time.
    steady : Measured or None
        Mean speed of the likeliest candidate with one budget line per cause; None where nothing was
        heard. [rev/s]
    candidates : tuple of Candidate
        All that fit, likeliest first.
    decided : bool
        Whether they leave one speed.
    driven_ratio : Measured or None
        Speed of the first driven part over the engine's, where its tone was heard. [1]
    low, high : float or None
        Range of the track. [rev/s]
    drift : float or None
        Slope of a straight line through the track. [rev/s per s]
    hunting : float or None
        Half the swing of a periodic change, None where none was found. [rev/s]
    duration : float
        Length of the recording. [s]
    stretch : tuple of (float, float) or None
        From when to when the steady speed was held; None where none was heard. [s]
    notes : tuple of Message
        What a user should know about the recording: clipped, mains hum, too quiet.
    """

    track: Track
    steady: Measured | None
    candidates: tuple[Candidate, ...]
    decided: bool
    driven_ratio: Measured | None = None
    low: float | None = None
    high: float | None = None
    drift: float | None = None
    hunting: float | None = None
    duration: float = 0.0
    stretch: tuple[float, float] | None = None
    notes: tuple[Message, ...] = ()
