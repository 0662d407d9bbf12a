"""Run what waits, in a loop of its own."""

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any, TypeVar

Answer = TypeVar("Answer")
LONGEST = 20.0  # s after which a test has failed; none waits for it otherwise


def ran(what: Coroutine[Any, Any, Answer]) -> Answer:
    """What it answers: pages in a browser, tested before, leave theirs running in this thread."""
    with ThreadPoolExecutor(1) as alone:
        return alone.submit(asyncio.run, what).result(LONGEST)
