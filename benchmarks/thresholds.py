"""Fit the belief from which one speed is decided to a stated loss, each family judged by the others' threshold.

A wrong pass costs as much as `WRONG_COSTS` clips left undecided. Beliefs are the likeliest of clips for which
the reader raises no other doubt than belief; the threshold is the one of least loss on the other families.
"""

import os
from collections.abc import Sequence

import numpy as np

from benchmarks.engines.deal import FIXED
from benchmarks.engines.render import FAMILIES
from benchmarks.families import COUNT, OTHERS, of_set
from benchmarks.kept import COUNT_VARIABLE, Row, share_of, table, wilson

WRONG_COSTS = 100.0
GRID = 1 - np.geomspace(0.5, 1e-6, 60)  # beliefs tried
NEAR = 0.01  # of the truth, within which a speed is right


def main() -> None:
    """Print the threshold without each family, and what it does to that family."""
    count = int(os.environ.get(COUNT_VARIABLE) or share_of(COUNT))
    found = [
        row
        for which in ("mixed", "alternating", "beside")
        for row in of_set(which, FIXED, count if which == "mixed" else max(int(OTHERS * count), 4))
        if row["crash"] is None and row["candidates"]
    ]
    lines = []
    for family in FAMILIES:
        others, own = ([row for row in found if (row["family"] == family) is left] for left in (False, True))
        limit = fitted(others)
        taken = [row for row in own if belief(row) >= limit and not row["notes"]]
        bad = sum(off(row) for row in taken)
        lines.append(
            (
                family,
                f"{limit:.6f}",
                len(own),
                wilson(len(taken), len(own)),
                f"{bad}: {wilson(bad, len(own))}",
            )
        )
    head = ("family left out", "belief from the others", "clips", "decided %", "wrong %")
    table(head, lines, f"A wrong one costs {WRONG_COSTS:g} undecided")


def fitted(found: Sequence[Row]) -> float:
    """Belief of least loss."""
    beliefs = np.array([belief(row) if not row["notes"] else 0.0 for row in found])
    bad = np.array([off(row) for row in found])
    taken = beliefs[None, :] >= GRID[:, None]
    loss = WRONG_COSTS * (taken & bad).sum(axis=1) + (~taken).sum(axis=1)
    return float(GRID[int(loss.argmin())])


def belief(row: Row) -> float:
    """Weight of the likeliest candidate."""
    return float(row["candidates"][0][1])


def off(row: Row) -> bool:
    """Whether the likeliest candidate is not the true speed."""
    return bool(abs(row["candidates"][0][0] - 1) > NEAR)


if __name__ == "__main__":
    main()
