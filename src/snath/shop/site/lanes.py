"""Answer one page after the other, and others beside one that takes long: several at once only hold each other up.

The interpreter runs one thread at a time, and threads hand over at every query: four of them answered a fifth fewer
pages than one (`python -m benchmarks.fire --only pages`). One alone would let a slow page hold up all others. So it is
with a database in a file. Where it is another program, pages wait for that, and in turn they would wait for each
other's waiting: there they go into threads that are all alike (`python -m benchmarks.slow_line`).
"""

import asyncio
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

PATIENCE = 0.03  # s after which a page is begun though another is still at work
Answer = TypeVar("Answer")


class Lanes:
    """A first lane that takes everything in turn, and a few beside it for what would wait behind something long.

    Parameters
    ----------
    beside : ThreadPoolExecutor
        The other lanes.
    """

    def __init__(self, beside: ThreadPoolExecutor) -> None:
        self._first = ThreadPoolExecutor(1, thread_name_prefix="page")
        self._beside = beside
        self._begun = 0.0  # when what is in the first lane now was begun [s]

    async def answer(self, work: Callable[[], Answer]) -> Answer:
        """What that work gives."""
        asked = self._first.submit(self._at, work)
        waiting, patience = asyncio.wrap_future(asked), PATIENCE
        while not (await asyncio.wait({waiting}, timeout=patience))[0]:
            patience *= 2  # a long line that goes on is looked at a few times only
            if time.monotonic() - self._begun > PATIENCE and asked.cancel():
                return await asyncio.get_running_loop().run_in_executor(self._beside, work)
        return waiting.result()

    def _at(self, work: Callable[[], Answer]) -> Answer:
        self._begun = time.monotonic()
        return work()
