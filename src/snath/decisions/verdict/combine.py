"""Several readings of one setting: which verdict stands?

A rider is read with the blades off for its engine and with the blades in air for its tips; each limit needs
one reading that clears it, and one that condemns it is enough. What one reading clears, another of the same
shaft under the same condition takes back when it lies nearer the limit by more than both doubts explain and does
not clear the limit itself: then the two are not of one setting, or one of them is wrong.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from snath.decisions.reading.reading import Reading
from snath.decisions.verdict.members import chances_over
from snath.decisions.verdict.verdict import MemberVerdict, Verdict, Word

APART = 3.0  # standard uncertainties between two readings that are no longer of one speed (common practice)
DISAGREE = "Readings of one setting disagree by more than their doubt: read it again."

Found = tuple[MemberVerdict, Reading]


def standing_verdict(verdicts: Sequence[Verdict], readings: Sequence[Reading]) -> Verdict | None:
    """The verdict of a stage from those on each of its readings, None where nothing was read."""
    if len(verdicts) < 2:
        return verdicts[0] if verdicts else None
    groups = _by_limit(verdicts, readings)
    members = tuple(_decided(group) for group in groups)
    limits = together([member.word for member in members])
    maker = _maker([verdict.maker for verdict in verdicts])
    word: Word = "fail" if limits == "fail" or maker == "out" else limits
    if word == "pass" and maker == "undecided":
        word = "undecided"
    last = verdicts[-1]
    return replace(
        last,
        word=word,
        limits=side_of_limits(limits),
        maker=maker,
        green=word == "pass" and maker == "in",
        p_over=chances_over(members),
        members=members,
        reasons=_union([*_taken_back(groups), *(v.reasons for v in verdicts if v.word != "pass")])
        if word != "pass"
        else (),
        settle=_union(v.settle for v in verdicts) if word != "pass" else (),
    )


def _by_limit(verdicts: Sequence[Verdict], readings: Sequence[Reading]) -> list[list[Found]]:
    groups: dict[tuple[str, str, str, str], list[Found]] = {}
    for verdict, reading in zip(verdicts, readings, strict=True):
        for m in verdict.members:
            groups.setdefault((m.member, m.rule, m.side, m.kind), []).append((m, reading))
    return list(groups.values())


def _decided(group: list[Found]) -> MemberVerdict:
    """The one that condemns, else one that clears and stands, else one that leaves it open."""
    for member, _ in group:
        if member.word == "fail":
            return member
    for member, reading in group:
        if member.word == "pass" and not any(_takes_back(other, reading) for other in group):
            return member
    return next((m for m, _ in reversed(group) if m.word == "undecided"), group[-1][0])


def _takes_back(found: Found, clearing: Reading) -> bool:
    """Whether a finding stands against a reading that cleared the same limit."""
    member, reading = found
    one, other = reading.value, clearing.value
    if member.word != "undecided" or one is None or other is None:
        return False
    if (reading.shaft, reading.condition) != (clearing.shaft, clearing.condition):
        return False
    nearer = one.value - other.value if member.side == "ceiling" else other.value - one.value
    return nearer > APART * math.hypot(one.u, other.u)


def _taken_back(groups: list[list[Found]]) -> list[tuple[str, ...]]:
    lost = any(
        member.word == "pass" and any(_takes_back(other, reading) for other in group)
        for group in groups
        for member, reading in group
    )
    return [(DISAGREE,)] if lost else []


def together(words: list[Word]) -> Word:
    """One word for several limits: one fail is enough, a pass needs all."""
    if "fail" in words:
        return "fail"
    return "undecided" if not words or "undecided" in words else "pass"


def side_of_limits(word: Word) -> str:
    """On which side of its limits the machine is: under, over or undecided."""
    return {"pass": "under", "fail": "over"}.get(word, "undecided")


def _maker(words: list[str]) -> str:
    for word in ("out", "in", "undecided"):
        if word in words:
            return word
    return "no figure"


def _union(groups: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(line for group in groups for line in group))
