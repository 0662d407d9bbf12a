"""Fold what says the same of several parts, by several rules, into one row: limits, and verdicts on them."""

from collections.abc import Callable, Hashable, Iterable, Sequence
from typing import TypeVar

from snath.decisions.verdict.verdict import MemberVerdict
from snath.decisions.window.window import Bound

DIGITS = 9  # to which two figures must agree to be one
T = TypeVar("T")


def folded(bounds: Sequence[Bound]) -> list[tuple[Bound, ...]]:
    """The bounds that count, those of one side, kind, limit and engine speed together, in the order of the first."""
    return alike(
        [bound for bound in bounds if bound.worst],
        lambda bound: (bound.side, bound.kind, _same(bound.limit), _same(bound.engine.value)),
    )


def folded_verdicts(members: Sequence[MemberVerdict]) -> list[tuple[MemberVerdict, ...]]:
    """Members of one limit that turn alike and are judged alike, together."""
    return alike(members, verdict_key)


def verdict_key(one: MemberVerdict) -> Hashable:
    """What two verdicts must share to be one row."""
    figures = (one.limit, one.speed, one.p_least, one.p_most)
    return one.side, one.kind, one.word, one.under_load, *map(_same, figures)


def alike(rows: Iterable[T], key: Callable[[T], Hashable]) -> list[tuple[T, ...]]:
    """Rows of one key together, in the order of the first of each."""
    groups: dict[Hashable, list[T]] = {}
    for row in rows:
        groups.setdefault(key(row), []).append(row)
    return [tuple(group) for group in groups.values()]


def names(group: Sequence[T], of: Callable[[T], str]) -> str:
    """What the rows of one group are called, each name once."""
    return ", ".join(dict.fromkeys(filter(None, map(of, group))))


def _same(figure: float) -> float:
    return round(figure, DIGITS)
