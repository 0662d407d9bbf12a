"""Read the speed now from sound that comes in pieces."""

import numpy as np
from numpy.typing import NDArray

from snath.formulas.signals.candidates import Orders
from snath.formulas.signals.sound import SHORTEST, speed_from_sound
from snath.formulas.signals.sound_answer import nothing
from snath.formulas.signals.sound_result import SoundResult
from snath.quantities.errors import within
from snath.quantities.message import Message

LISTENED = 2.5  # of sound a figure rests on: longer steadies it, shorter follows sooner [s]
FIRST = 0.75  # of sound before which none is tried [s]


class LiveReader:
    """Takes numbered pieces of sound and answers after each with what the last seconds say.

    Parameters
    ----------
    rate : float
        Samples per second, 4000 to 400000. [1/s]
    orders : Orders
        What to look for.

    Raises
    ------
    InputError
        If the rate is outside the range above.
    """

    def __init__(self, rate: float, orders: Orders) -> None:
        self.rate = float(within("rate", rate, 4_000, 400_000, "samples per second"))
        self.orders = orders
        self.restarts = 0
        self._pieces: list[NDArray[np.float32]] = []
        self._next: int | None = None

    def push(self, samples: NDArray[np.float32], start_sample: int) -> SoundResult:
        """Take one piece; one that does not follow on the last starts anew.

        Parameters
        ----------
        samples : ndarray, shape (n,)
            Sound. [any]
        start_sample : int
            Number of its first sample since listening began. [1]

        Returns
        -------
        SoundResult
            Of the last `LISTENED` seconds, undecided while they are too short. Times count from there.
        """
        if self._next is not None and start_sample != self._next:
            self._pieces.clear()
            self.restarts += 1
        piece = np.asarray(samples, dtype=np.float32).ravel()
        self._pieces.append(piece)
        self._next = start_sample + len(piece)
        kept = np.concatenate(self._pieces)[-int(LISTENED * self.rate) :]
        self._pieces = [kept]
        if len(kept) < max(FIRST, SHORTEST) * self.rate:
            return nothing(len(kept) / self.rate, Message("sound.listening"))
        return speed_from_sound(kept, self.rate, self.orders)
