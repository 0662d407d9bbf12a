"""Hold how often each may still ask."""

import time
from collections import OrderedDict
from threading import Lock

MOST_KNOWN = 4096  # keys and addresses whose rate is remembered


class Rates:
    """A bucket for each that fills steadily. Lives in the one process that serves."""

    def __init__(self, rate: float, burst: float) -> None:
        self._rate, self._burst, self._lock = rate, burst, Lock()
        self._left: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def left(self, who: str) -> float:
        """What is in the bucket."""
        now = time.monotonic()
        amount, at = self._left.get(who, (self._burst, now))
        return min(self._burst, amount + (now - at) * self._rate)

    def take(self, who: str) -> bool:
        """Take one out; False where there is none."""
        with self._lock:
            left = self.left(who)
            self._left[who] = (max(left - 1, 0.0) if left >= 1 else left, time.monotonic())
            self._left.move_to_end(who)
            while len(self._left) > MOST_KNOWN:
                self._left.popitem(last=False)
            return left >= 1
