"""Look up the belt for a way that is so long slack and so long tight, one look-up for each drive."""

import numpy as np
from numpy.typing import NDArray

from snath.decisions.drive.positions import BeltChoice

Floats = NDArray[np.float64]
Index = NDArray[np.int64]


class BeltTable:
    """Belts in order of preference, and the best one for any two lengths of way.

    A belt goes on if the slack way is no longer than it is at the short end of its tolerance, and can be
    tightened for life if the tight way is no shorter than it is at the long end, stretched.
    """

    def __init__(self, belts: tuple[BeltChoice, ...], stretch: float) -> None:
        self.belts = belts
        self.changed = np.array([float(b.changed) for b in belts])
        self.price = np.array([b.price for b in belts])
        self.shortest = np.array([b.belt.length - b.belt.tolerance for b in belts])
        self.longest = np.array([(b.belt.length + b.belt.tolerance) * (1 + stretch) for b in belts])
        self._by_shortest, self._by_longest = np.sort(self.shortest), np.sort(self.longest)
        self._best = self._table()

    def _table(self) -> Index:
        """best[i, j]: first belt with shortest >= by_shortest[i] and longest <= by_longest[j - 1]."""
        n = len(self.belts)
        best = np.full((n + 1, n + 1), n)
        from_short = np.searchsorted(self._by_shortest, self.shortest, "left")
        to_long = np.searchsorted(self._by_longest, self.longest, "left") + 1
        for belt in range(n - 1, -1, -1):
            best[from_short[belt], to_long[belt]] = belt
        best = np.minimum.accumulate(best, axis=1)
        return np.minimum.accumulate(best[::-1], axis=0)[::-1]

    def choose(self, slack: Floats, tight: Floats) -> Index:
        """The preferred belt for each way, `len(belts)` where none fits."""
        i = np.searchsorted(self._by_shortest, slack, "left")
        j = np.searchsorted(self._by_longest, tight, "right")
        chosen: Index = self._best[i, j]
        return chosen

    def alike(self, belt: int, slack: float, tight: float) -> tuple[int, ...]:
        """Belts that fit and cost the same, the one chosen among them."""
        fits = (self.shortest >= slack) & (self.longest <= tight)
        same = fits & (self.changed == self.changed[belt]) & (self.price == self.price[belt])
        return tuple(int(i) for i in np.flatnonzero(same))
