"""Hold what readings of one setting prove: three lines, each with its own word, and one word over them."""

from dataclasses import dataclass
from typing import Literal

from snath.quantities.message import Message

Word = Literal["pass", "fail", "undecided"]
Stands = Literal["pass", "fail", "undecided", "blocked"]


@dataclass(frozen=True, slots=True)
class MemberVerdict:
    """How likely one member is beyond its limit, least and most over its alternatives.

    `side` says beyond which: over a "ceiling", or under a "floor". In the alternative that counts, `speed` is
    how fast the member's shaft turned at this reading [rev/s] and `reached` is the limited quantity itself, in
    the unit of `limit`. `under_load` says that it belongs to the work line: a speed the work needs under load, no
    limit that can hurt.
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
    under_load: bool = False


@dataclass(frozen=True, slots=True)
class Verdict:
    """The verdict on the readings of one setting.

    Attributes
    ----------
    word : str
        pass, fail or undecided: the worse of limits and maker's figure; a surely missed work line fails too. Blocked
        where a check of the machine stands against it, whatever the speed.
    limits : str
        "under", "over" or "undecided": all that can hurt, the engine's lowest speed and a generator's no-load
        frequency among it.
    maker : str
        "in", "out", "undecided" or "no figure".
    green : bool
        True only where limits and maker's figure are met.
    p_over : (float, float) or None
        Least and most likely over, see `MemberVerdict`.
    pass_below, fail_above : float or None
        Reading of this instrument at this shaft that would pass or fail. [rev/s]
    decision_rule : str
        Name of the rule used.
    members : tuple of MemberVerdict
    reasons, settle : tuple of Message or str
        Why, and what would settle it.
    work : str
        Speed under load: "enough", "missed" or "open"; empty where nothing asks for any.
    set_between : (float or None, float) or None
        Where it does not pass: the readings, taken the same way, that would; None where there are none. [rev/s]
    target : float or None
        What to aim for between them; None where nobody gives a figure. [rev/s]
    """

    word: Stands
    limits: str
    maker: str
    green: bool
    p_over: tuple[float, float] | None
    pass_below: float | None
    fail_above: float | None
    decision_rule: str
    members: tuple[MemberVerdict, ...] = ()
    reasons: tuple[Message | str, ...] = ()
    settle: tuple[Message | str, ...] = ()
    work: str = ""
    set_between: tuple[float | None, float] | None = None
    target: float | None = None


def together(words: list[Word]) -> Word:
    """One word for several limits: one fail is enough, a pass needs all."""
    if "fail" in words:
        return "fail"
    return "undecided" if not words or "undecided" in words else "pass"
