"""The verdict on one reading: pass, fail or undecided, and what would settle it."""

from dataclasses import dataclass
from typing import Literal

Word = Literal["pass", "fail", "undecided"]


@dataclass(frozen=True, slots=True)
class MemberVerdict:
    """How likely one member is beyond its limit, least and most over its alternatives.

    `side` says beyond which: over a "ceiling", or under a "floor". In the alternative that counts, `speed` is
    how fast the member's shaft turned at this reading [rev/s] and `reached` is the limited quantity itself, in
    the unit of `limit`.
    """

    member: str
    rule: str
    word: Word
    p_least: float
    p_most: float
    speed: float
    limit: float
    kind: str
    side: str = "ceiling"
    reached: float | None = None


@dataclass(frozen=True, slots=True)
class Verdict:
    """The verdict on one reading.

    Attributes
    ----------
    word : str
        pass, fail or undecided: the stricter of the two lines below.
    limits : str
        "under", "over" or "undecided": the tip and every other limit.
    maker : str
        "in", "out", "undecided" or "no figure".
    green : bool
        True only where both lines are met.
    p_over : (float, float) or None
        Least and most likely over, see `MemberVerdict`.
    pass_below, fail_above : float or None
        Reading of this instrument at this shaft that would pass or fail. [rev/s]
    decision_rule : str
        Name of the rule used.
    members : tuple of MemberVerdict
    reasons, settle : tuple of str
        Why, and what would settle it.
    """

    word: Word
    limits: str
    maker: str
    green: bool
    p_over: tuple[float, float] | None
    pass_below: float | None
    fail_above: float | None
    decision_rule: str
    members: tuple[MemberVerdict, ...] = ()
    reasons: tuple[str, ...] = ()
    settle: tuple[str, ...] = ()
