"""Several readings of one setting: which verdict stands?

A rider is read with the blades off for its engine and with the blades in air for its tips; each limit needs
one reading that clears it, and one that condemns it is enough.
"""

from collections.abc import Iterable
from dataclasses import replace

from snath.decisions.verdict.members import chances_over
from snath.decisions.verdict.verdict import MemberVerdict, Verdict, Word


def standing_verdict(verdicts: tuple[Verdict, ...]) -> Verdict | None:
    """The verdict of a stage, None where nothing was read."""
    if len(verdicts) < 2:
        return verdicts[0] if verdicts else None
    members = tuple(_decided(group) for group in _by_limit(verdicts))
    limits = together([member.word for member in members])
    maker = _maker([verdict.maker for verdict in verdicts])
    word: Word = "fail" if limits == "fail" or maker == "out" else limits
    if word == "pass" and maker == "undecided":
        word = "undecided"
    last = verdicts[-1]
    return replace(
        last,
        word=word,
        limits={"pass": "under", "fail": "over"}.get(limits, "undecided"),
        maker=maker,
        green=word == "pass" and maker == "in",
        p_over=chances_over(members),
        members=members,
        reasons=_union(v.reasons for v in verdicts if v.word != "pass") if word != "pass" else (),
        settle=_union(v.settle for v in verdicts) if word != "pass" else (),
    )


def _by_limit(verdicts: tuple[Verdict, ...]) -> list[list[MemberVerdict]]:
    groups: dict[tuple[str, str, str], list[MemberVerdict]] = {}
    for verdict in verdicts:
        for member in verdict.members:
            groups.setdefault((member.member, member.rule, member.side), []).append(member)
    return list(groups.values())


def _decided(group: list[MemberVerdict]) -> MemberVerdict:
    for word in ("fail", "pass"):
        for member in group:
            if member.word == word:
                return member
    return group[-1]


def together(words: list[Word]) -> Word:
    """One word for several limits: one fail is enough, a pass needs all."""
    if "fail" in words:
        return "fail"
    return "undecided" if not words or "undecided" in words else "pass"


def _maker(words: list[str]) -> str:
    for word in ("out", "in", "undecided"):
        if word in words:
            return word
    return "no figure"


def _union(groups: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(line for group in groups for line in group))
