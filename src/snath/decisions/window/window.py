"""Define the speed window: what every limit allows at the crankshaft, and which one binds."""

from dataclasses import dataclass, field

from snath.quantities.measured import Measured
from snath.quantities.message import Message


@dataclass(frozen=True, slots=True)
class Bound:
    """One limit carried back to the crankshaft, in one alternative.

    Attributes
    ----------
    member, shaft, rule : str
        Which member, where it sits, which row (or "marked on the part", "engine maker").
    side : str
        "ceiling" or "floor".
    alternative : Message or str
        The size, ratio and slip taken; empty where there is one way to see it only.
    engine : Measured
        The speed at which the limit is met, at the crankshaft or the shaft it was carried to; for a
        floor that is the loaded speed. [rev/s]
    limit : float
        The limit itself. [SI unit of the rule's kind]
    ratio : float
        Member shaft over crankshaft speed.
    worst : bool
        Whether this alternative is the one that counts for its member.
    working : tuple of Message
        The arithmetic as a person would write it.
    applies_to : str
        "sustained" or "peak": which speed the limit speaks of.
    in_force : bool
        False for a historical row, which can fail a machine and never clear it.
    standing : str
        How well the row is known.
    lean : float or None
        As in `Limit`, carried to the same shaft as `engine`; None for none. [rev/s]
    """

    member: str
    shaft: str
    rule: str
    side: str
    alternative: Message | str
    engine: Measured
    limit: float
    kind: str
    ratio: float
    worst: bool = False
    working: tuple[Message, ...] = ()
    applies_to: str = "sustained"
    in_force: bool = True
    standing: str = ""
    lean: float | None = None

    @property
    def believed(self) -> Measured:
        """The speed a reading is judged by: `engine` is what the nominal sizes give and what is printed."""
        return Measured(self.engine.value + (self.lean or 0.0), self.engine.lines)


@dataclass(frozen=True, slots=True)
class Remedy:
    """One single change that opens the window, already re-run.

    Attributes
    ----------
    change : Message
        What is changed, and to what.
    kind : str
        "speed", "blade", "driver sheave", "driven sheave", "ratio".
    shaft : str
        Where.
    value : float or None
        The new size, of a sheave the next that is sold. [m], [rev/s] or ratio
    exactly : float or None
        The mildest size that opens it. [same unit]
    ceiling, floor : float or None
        What the window becomes. [rev/s]
    approval : bool
        True where parts change: the maker's approval is needed.
    """

    change: Message
    kind: str
    shaft: str
    value: float | None
    ceiling: float | None
    floor: float | None
    approval: bool = True
    exactly: float | None = None


@dataclass(frozen=True, slots=True)
class Window:
    """Closed window of no-load crankshaft speed, all in rev/s.

    `pass_below` and `fail_above` are for a perfect reading: under the one every alternative passes the
    decision rule, over the other every alternative fails it. `setting` says whether a target is known:
    "known", "not known" (no maker's figure), "stop" (the maker's figure lies outside), "no room", or "blocked"
    (a check of the machine stands against setting it at all).
    """

    feasible: bool
    ceiling: float | None
    floor: float | None
    target: float | None
    set_low: float | None
    set_high: float | None
    pass_below: float | None
    fail_above: float | None
    binding: str
    binding_rule: str
    setting: str
    bounds: tuple[Bound, ...] = ()
    remedies: tuple[Remedy, ...] = ()
    notes: tuple[Message, ...] = field(default=())

    @property
    def unset(self) -> str:
        """Why nothing is to be set: `setting`, or "not settled" where a maker's figure is there and settles nothing."""
        typed = all(note.code != "window.no-figure" for note in self.notes)
        return "not settled" if typed and self.setting == "not known" else self.setting

    @property
    def uncovered(self) -> tuple[str, ...]:
        """Members nobody knows a limit of: the ceiling does not speak of them."""
        return tuple(str(note.values["name"]) for note in self.notes if note.code == "window.not-covered")

    @property
    def shut(self) -> bool:
        """Whether no engine speed will do; without a ceiling that is not known."""
        return self.ceiling is not None and not self.feasible
