"""Give pseudo-random numbers that are the same every time (SplitMix64).

The same sound must give the same answer: so nothing is drawn, a counter is mixed instead (SplitMix64; Steele, Lea &
Flood 2014, from memory).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

STRIDE = np.uint64(0x9E3779B97F4A7C15)  # 2**64 over the golden ratio
MIXERS = ((np.uint64(30), np.uint64(0xBF58476D1CE4E5B9)), (np.uint64(27), np.uint64(0x94D049BB133111EB)))
LAST = np.uint64(31)


@dataclass
class Scatter:
    """A row of numbers that goes on from call to call, always the same one.

    Attributes
    ----------
    used : int
        How many have been handed out.
    """

    used: int = 0

    def even(self, count: int) -> NDArray[np.float64]:
        """Spread evenly between 0 and 1, neither reached, shape (count,)."""
        mixed = np.arange(self.used + 1, self.used + count + 1, dtype=np.uint64) * STRIDE
        self.used += count
        for shift, factor in MIXERS:
            mixed = (mixed ^ (mixed >> shift)) * factor
        mixed ^= mixed >> LAST
        return np.asarray(((mixed >> np.uint64(11)) + 0.5) * 2.0**-53, dtype=np.float64)

    def normal(self, count: int) -> NDArray[np.float64]:
        """Spread as errors are, of mean 0 and deviation 1, shape (count,)."""
        return np.asarray(ndtri(self.even(count)))
