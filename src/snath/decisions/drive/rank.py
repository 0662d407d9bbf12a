"""Rank the drives found: keep those no other drive beats in parts, margin, grip and price at once."""

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]  # rows of (parts changed, -margin, -grip, price); less is better

DIGITS = 9  # drives nearer than this in a figure are taken as equal in it
BLOCK = 256


def vectors(changed: Values, margin: Values, grip: Values, price: Values) -> Values:
    """The four aims of many drives as rows to be made small."""
    rows: Values = np.stack([changed, -margin, -grip, price], axis=1)
    return rows.round(DIGITS)


def not_beaten(values: Values, *, by: Values) -> NDArray[np.bool_]:
    """Which rows no row of `by` beats: is at least as good in everything and better in something."""
    standing = np.arange(len(values))
    columns = [np.ascontiguousarray(column) for column in values.T]
    for rival in by:
        reached = rival[0] <= columns[0]
        for figure, column in zip(rival[1:], columns[1:], strict=True):
            reached &= figure <= column
        if not reached.any():
            continue
        places = np.flatnonzero(reached)
        equal = np.logical_and.reduce(
            [column[places] == figure for figure, column in zip(rival, columns, strict=True)]
        )
        stays = np.ones(len(standing), bool)
        stays[places[~equal]] = False
        standing = standing[stays]
        columns = [column[stays] for column in columns]
    kept = np.zeros(len(values), bool)
    kept[standing] = True
    return kept


def front(values: Values) -> NDArray[np.int64]:
    """Places of the rows no other row beats, equal rows all kept, in lexicographic order.

    Sorted that way a row can only be beaten by one before it, so one pass over blocks is enough.
    """
    order = np.lexsort(values.T[::-1])
    kept: list[NDArray[np.int64]] = []
    left = order
    while len(left):
        block, left = left[:BLOCK], left[BLOCK:]
        standing = block[not_beaten(values[block], by=values[block])]
        kept.append(standing)
        fresh = np.unique(values[standing], axis=0)
        left = left[not_beaten(values[left], by=fresh)]
    return np.concatenate(kept) if kept else np.empty(0, np.int64)
