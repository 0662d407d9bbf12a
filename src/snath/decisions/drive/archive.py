"""Keep the best drives so far: one row of figures each, and every drive that has just these figures."""

from dataclasses import dataclass, field

import numpy as np

from snath.decisions.drive.positions import Choice
from snath.decisions.drive.problem import Candidate
from snath.decisions.drive.rank import Values
from snath.decisions.drive.shelf import Kind

Row = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Entry:
    """One drive by sizes: for each position the choice it takes, the belt, and belts that would do as well."""

    kind: Kind
    places: tuple[int, ...]
    belts: tuple[int, ...]


@dataclass(slots=True)
class Archive:
    """Rows of `rank.vectors` that nothing beats, with their drives."""

    rows: Values = field(default_factory=lambda: np.empty((0, 4)))
    entries: dict[Row, list[Entry]] = field(default_factory=dict)

    def add(self, row: Values, entry: Entry) -> None:
        """Take in a drive that no row beats; rows it beats go."""
        key = tuple(row.tolist())
        if key in self.entries:
            self.entries[key].append(entry)
            return
        beaten = (row <= self.rows).all(axis=1)
        for old in self.rows[beaten]:
            del self.entries[tuple(old.tolist())]
        self.rows = np.concatenate([self.rows[~beaten], row[None]])
        self.entries[key] = [entry]

    def candidates(self) -> tuple[Candidate, ...]:
        """One drive a row, that of the lowest stock numbers, with the number of drives that tie."""
        found = [_candidate(row, entries) for row, entries in self.entries.items()]
        return tuple(sorted(found, key=lambda c: (c.changed, -c.margin, -c.grip, c.price)))


def _candidate(row: Row, entries: list[Entry]) -> Candidate:
    drives = [
        (choices, entry.kind.belts[belt])
        for entry in entries
        for choices in entry.kind.fillings(entry.places)
        for belt in entry.belts
    ]
    choices, belt = min(drives, key=lambda drive: (_ranks(drive[0]), drive[1].rank))
    changed, margin, grip, price = row
    return Candidate(choices, belt, int(changed), 0.0 - margin, 0.0 - grip, price, len(drives))


def _ranks(choices: tuple[Choice, ...]) -> tuple[int, ...]:
    return tuple(c.rank for c in choices)
