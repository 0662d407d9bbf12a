"""Hold what a signal method answers: the speeds that fit, never a verdict.

Signals are handed the orders to look for and a range to look in. They do not know the machine, its
limits or what anybody hopes to read.
"""

from dataclasses import dataclass, replace

from snath.quantities.message import Message


@dataclass(frozen=True, slots=True)
class Driven:
    """A toothed or bladed part turned by the engine through a known or unknown ratio.

    Attributes
    ----------
    ratio_low, ratio_high : float
        Its speed over the engine's, as a range to search.
    tips : int
        Equal features per turn (blade tips, fan blades) that make its tone.
    """

    ratio_low: float
    ratio_high: float
    tips: int = 2


@dataclass(frozen=True, slots=True)
class Orders:
    """What to look for in a recording, handed over in place of the machine.

    Attributes
    ----------
    rev_s_low, rev_s_high : float
        Range of engine speed to search, flat inside. [rev/s]
    cycle_turns : int or None
        Turns of the crank in one working cycle: 2 for four-stroke, 1 for two-stroke, None unknown.
    firings : tuple of float or None
        Where in the cycle each cylinder fires, as fractions from 0 up to 1; None unknown.
    driven : tuple of Driven
        Further combs to look for.
    """

    rev_s_low: float
    rev_s_high: float
    cycle_turns: int | None = None
    firings: tuple[float, ...] | None = None
    driven: tuple[Driven, ...] = ()


@dataclass(frozen=True, slots=True)
class Candidate:
    """One speed that fits the signal.

    Attributes
    ----------
    rev_s : float
        Engine (or observed part's) speed. [rev/s]
    u : float
        Standard uncertainty if this is the right one. [rev/s]
    weight : float
        Share of belief, 0 to 1; all candidates of one signal add up to at most 1.
    order : Message or str
        What the strongest line was taken for; text where a version before messages kept it so.
    why : Message or str
        One sentence for a doubter.
    """

    rev_s: float
    u: float
    weight: float
    order: Message | str = ""
    why: Message | str = ""


@dataclass(frozen=True, slots=True)
class Plateau:
    """One held speed: its mean and standard uncertainty [rev/s], from when to when [s]."""

    rev_s: float
    u: float
    begin: float
    end: float


@dataclass(frozen=True, slots=True)
class Event:
    """A moment on a track: "release", "standstill", "firing", "load on", "gap". [s]"""

    t_s: float
    kind: str


@dataclass(frozen=True, slots=True)
class Track:
    """Speed of one shaft over time.

    Attributes
    ----------
    shaft : str
        Which shaft it is the speed of.
    t_s, rev_s, u : tuple of float
        Times, speeds and their standard uncertainties, equally long. [s], [rev/s], [rev/s]
    gaps : tuple of (float, float)
        Stretches in which nothing could be told. [s]
    events : tuple of Event
        Marked or found moments.
    heard : bool
        Whether it was read from sound.
    """

    shaft: str
    t_s: tuple[float, ...]
    rev_s: tuple[float, ...]
    u: tuple[float, ...]
    gaps: tuple[tuple[float, float], ...] = ()
    events: tuple[Event, ...] = ()
    heard: bool = False

    def later(self, seconds: float) -> "Track":
        """The same course on a clock that began so much earlier, as where only a stretch was read. [s]"""
        return replace(
            self,
            t_s=tuple(t + seconds for t in self.t_s),
            gaps=tuple((start + seconds, end + seconds) for start, end in self.gaps),
            events=tuple(replace(event, t_s=event.t_s + seconds) for event in self.events),
        )
