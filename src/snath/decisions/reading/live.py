"""Give a reading after every piece of sound, while the engine runs."""

import numpy as np
from numpy.typing import NDArray

from snath.decisions.machine.parts import CRANKSHAFT, Condition, Machine
from snath.decisions.reading.from_sound import orders_from_machine, reading_from_sound
from snath.decisions.reading.reading import Reading
from snath.formulas.signals import live


class LiveReader:
    """`snath.formulas.signals.live.LiveReader` for one machine, answering with readings."""

    def __init__(
        self,
        rate: float,
        machine: Machine | None = None,
        *,
        shaft: str = CRANKSHAFT,
        condition: Condition = "blades in air",
    ) -> None:
        self._reader = live.LiveReader(rate, orders_from_machine(machine))
        self._machine, self._shaft, self._condition = machine, shaft, condition

    @property
    def restarts(self) -> int:
        """How often a gap made it start anew."""
        return self._reader.restarts

    def push(self, samples: NDArray[np.float32], start_sample: int) -> Reading:
        """Take one piece of sound and say what the last seconds leave."""
        result = self._reader.push(samples, start_sample)
        return reading_from_sound(result, self._machine, shaft=self._shaft, condition=self._condition)
