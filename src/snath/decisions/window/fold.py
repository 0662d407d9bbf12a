"""Fold limits that say the same of several parts, by several rules, into one row."""

from collections.abc import Sequence

from snath.decisions.window.window import Bound

Key = tuple[str, str, float, float]


def folded(bounds: Sequence[Bound]) -> list[tuple[Bound, ...]]:
    """The bounds that count, those of one side, kind, limit and engine speed together, in the order of the first."""
    rows: dict[Key, list[Bound]] = {}
    for bound in bounds:
        if bound.worst:
            rows.setdefault(_key(bound), []).append(bound)
    return [tuple(row) for row in rows.values()]


def _key(bound: Bound) -> Key:
    return bound.side, bound.kind, round(bound.limit, 9), round(bound.engine.value, 9)
