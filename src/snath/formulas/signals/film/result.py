"""Hold what a film says of a speed."""

from dataclasses import dataclass

from snath.formulas.signals.candidates import Candidate, Track
from snath.quantities.measured import Measured
from snath.quantities.message import Message

MOST = 12  # candidates shown: of two marks at 30 even frames a second ten look alike in a mower's range


@dataclass(frozen=True, slots=True)
class LightResult:
    """Speeds that fit a film.

    Attributes
    ----------
    candidates : tuple of Candidate
        All that fit, likeliest first, at most `MOST`.
    decided : bool
        Whether they leave one speed.
    steady : Measured or None
        Mean speed of the likeliest, with its budget. [rev/s]
    track : Track or None
        Its speed over time.
    frame_rate : float
        Frames a second. [1/s]
    even : bool
        Whether the frames came evenly, so that aliases look alike.
    place : tuple of float
        Row and column of what flickers, as shares of the picture.
    explained : float
        Share of the flicker that the likeliest explains.
    low, high, drift : float or None
        Range of the track and slope of a line through it. [rev/s], [rev/s], [rev/s per s]
    duration : float
        Length of what was used. [s]
    notes : tuple of Message
        What to know besides.
    asks : tuple of str
        What would tell the candidates apart if somebody said it: "readout", "exposure".
    marks_seen : int or None
        Alike marks that are seen to go round, whatever number was told; None where that is not clear.
    """

    candidates: tuple[Candidate, ...]
    decided: bool
    steady: Measured | None = None
    track: Track | None = None
    frame_rate: float = 0.0
    even: bool = True
    place: tuple[float, float] = (0.5, 0.5)
    explained: float = 0.0
    low: float | None = None
    high: float | None = None
    drift: float | None = None
    duration: float = 0.0
    notes: tuple[Message, ...] = ()
    asks: tuple[str, ...] = ()
    marks_seen: int | None = None
