"""Hold what is answered of readings, in the units of its names."""

from dataclasses import dataclass, field

from snath.decisions.verdict.verdict import Stands
from snath.shop.answers.facts import Fact


@dataclass(frozen=True)
class MemberAnswer:
    """How likely one member is beyond its limit.

    Attributes
    ----------
    member, rule : str
        Which member, by which row.
    side : str
        "ceiling" for over it, "floor" for under it.
    word : str
        pass, fail or undecided.
    p : tuple of (float, float)
        Least and most chance that it is beyond, over all alternatives; fractions.
    """

    member: str
    rule: str
    side: str
    word: str = field(metadata={"serialization_alias": "verdict"})
    p: tuple[float, float]


@dataclass(frozen=True)
class VerdictAnswer:
    """What readings of one setting prove; speeds at the shaft of the reading.

    Attributes
    ----------
    word : str
        pass, fail, undecided or blocked.
    limits : str
        "under", "over" or "undecided": everything that can hurt.
    maker : str
        "in", "out", "undecided" or "no figure".
    green : bool
        True only where limits and maker's figure are met.
    p_over : tuple of (float, float), or None
        Least and most chance that a limit is passed; fractions.
    pass_below_rpm, fail_above_rpm : int or None
        A reading of this instrument that would pass, and one that would fail. [rpm]
    decision_rule : str
        By which rule it was decided.
    members : tuple of MemberAnswer
        Every limit by itself.
    work : str or None
        Speed under load: "enough", "missed" or "open"; None where nothing asks for any.
    set_from_rpm, set_to_rpm : float or None
        Where it does not pass: the readings, taken the same way, that would. [rpm]
    target_rpm : float or None
        What to aim for between them. [rpm]
    reasons, settle : tuple of Fact
        Why, and what would settle it.
    """

    word: Stands = field(metadata={"serialization_alias": "verdict"})
    limits: str
    maker: str
    green: bool
    p_over: tuple[float, float] | None
    pass_below_rpm: int | None
    fail_above_rpm: int | None
    decision_rule: str
    members: tuple[MemberAnswer, ...]
    work: str | None
    set_from_rpm: float | None
    set_to_rpm: float | None
    target_rpm: float | None
    reasons: tuple[Fact, ...]
    settle: tuple[Fact, ...]


@dataclass(frozen=True)
class AskedVerdict(VerdictAnswer):
    """The verdict on readings that were typed, without a job around them.

    Attributes
    ----------
    speaks_of : str
        "speed alone": whether the machine itself was checked is asked of a job.
    chosen_rule : str or None
        The row chosen in place of those in scope.
    notes : tuple of Fact
        What else has to be known.
    """

    speaks_of: str
    chosen_rule: str | None
    notes: tuple[Fact, ...]
