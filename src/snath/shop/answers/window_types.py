"""Hold what is answered of a machine's window, in the units of its names."""

from dataclasses import dataclass, field

from snath.shop.answers.facts import Fact


@dataclass(frozen=True)
class Binding:
    """What binds; empty texts where nothing does.

    Attributes
    ----------
    member, rule, alternative : str
        Which member, by which row, and in which of its alternatives.
    """

    member: str
    rule: str
    alternative: str


@dataclass(frozen=True)
class BoundAnswer:
    """One limit carried back to the crankshaft, in one alternative.

    Attributes
    ----------
    member, shaft, rule, standing : str
        Which member, where it sits, by which row, and how well that is known.
    side : str
        "ceiling" or "floor".
    alternative : str
        The size, ratio and slip taken; empty where there is one way to see it.
    engine_rpm : float
        Crankshaft speed at which the limit is met. [rpm]
    u_rpm : float
        Its standard uncertainty. [rpm]
    ratio : float
        Member shaft over crankshaft speed.
    counts : bool
        Whether this alternative is the one that counts for its member.
    steps : tuple of Fact
        The arithmetic, line by line.
    """

    member: str
    shaft: str
    rule: str
    standing: str
    side: str
    alternative: str
    engine_rpm: float | None
    u_rpm: float | None
    ratio: float
    counts: bool
    steps: tuple[Fact, ...] = field(metadata={"serialization_alias": "working"})

    @property
    def working(self) -> str:
        """The arithmetic as text."""
        return "\n".join(self.steps)


@dataclass(frozen=True)
class RemedyAnswer:
    """One single change that opens the window.

    Attributes
    ----------
    change : Fact
        What is changed, and to what.
    kind, shaft : str
        "speed", "blade", "driver sheave", "driven sheave" or "ratio", and where.
    value, exactly : float or None
        The new size, of a sheave the next that is sold, and the mildest that opens it. [m], [rev/s] or a ratio
    ceiling_rpm, floor_rpm : int or None
        What the window becomes. [rpm]
    makers_approval_needed : bool
        True where parts change.
    """

    change: Fact
    kind: str
    shaft: str
    value: float | None
    exactly: float | None
    ceiling_rpm: int | None
    floor_rpm: int | None
    makers_approval_needed: bool


@dataclass(frozen=True)
class TakeAnswer:
    """One reading to take, and between which speeds it proves what it is for.

    Attributes
    ----------
    shaft, condition : str
        Where, and while what.
    pass_from_rpm, pass_to_rpm : float or None
        The band it passes in, at that shaft; None for an end that is open. [rpm]
    limits : tuple of str
        Members whose limits it proves.
    instrument : str or None
        With what; None where anything does.
    u_rpm : float or None
        Standard uncertainty somebody has to stand for. [rpm]
    judge_with : tuple of str
        What `snath judge` has to be told beside the reading.
    """

    shaft: str
    condition: str
    pass_from_rpm: float | None
    pass_to_rpm: float | None
    limits: tuple[str, ...] = field(metadata={"serialization_alias": "for"})
    instrument: str | None
    u_rpm: float | None
    judge_with: tuple[str, ...]


@dataclass(frozen=True)
class WindowAnswer:
    """What engine speed a machine allows without load; speeds at the crankshaft.

    Attributes
    ----------
    feasible : bool
        Whether some speed will do.
    shut : bool
        Whether none will.
    ceiling_rpm, floor_rpm : int or None
        Never above, never below. [rpm]
    target_rpm : float or None
        What to set to. [rpm]
    set_between_rpm : tuple of (int or None, int or None), or None
        The band to set in. [rpm]
    pass_below_rpm, fail_above_rpm : int or None
        Where a perfect reading would surely pass and surely fail. [rpm]
    setting : str
        Whether a target is known, and why not.
    binding : Binding
        What binds.
    members : tuple of BoundAnswer
        Every limit in every alternative.
    remedies : tuple of RemedyAnswer
        What would open it.
    notes : tuple of Fact
        What else has to be known.
    program : str
        Which version worked it out.
    """

    feasible: bool
    shut: bool
    ceiling_rpm: int | None
    floor_rpm: int | None
    target_rpm: float | None
    set_between_rpm: tuple[int | None, int | None] | None
    pass_below_rpm: int | None
    fail_above_rpm: int | None
    setting: str
    binding: Binding
    members: tuple[BoundAnswer, ...]
    remedies: tuple[RemedyAnswer, ...]
    notes: tuple[Fact, ...]
    program: str


@dataclass(frozen=True)
class AskedWindow(WindowAnswer):
    """The window of a machine that was asked for, and how it could be proven.

    Attributes
    ----------
    chosen_rule : str or None
        The row chosen in place of those in scope.
    take : tuple of TakeAnswer
        The fewest readings that would prove it.
    take_why : tuple of Fact
        Why none would, where there are none.
    """

    chosen_rule: str | None
    take: tuple[TakeAnswer, ...]
    take_why: tuple[Fact, ...]
