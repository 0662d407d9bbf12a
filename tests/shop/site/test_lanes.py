"""Pages take turns, and nothing that takes long holds up what comes after it."""

import asyncio
import threading
from concurrent.futures import ThreadPoolExecutor

import pytest

from snath.shop.site.lanes import Lanes
from tests.loops import LONGEST, ran


@pytest.fixture
def lanes():
    with ThreadPoolExecutor(2, thread_name_prefix="beside") as beside:
        made = Lanes(beside)
        yield made
        made._first.shutdown()


def here() -> str:
    return threading.current_thread().name


def test_what_comes_together_takes_turns_in_one_thread(lanes):
    async def many() -> list[str]:
        return await asyncio.gather(*(lanes.answer(here) for _ in range(50)))

    assert len(set(ran(many()))) == 1


def test_what_takes_long_holds_up_nobody_and_keeps_its_own_answer(lanes):
    go_on = threading.Event()

    async def one_long() -> tuple[list[str], str]:
        long = asyncio.ensure_future(lanes.answer(lambda: here() if go_on.wait(LONGEST) else "held up"))
        others = await asyncio.gather(*(lanes.answer(here) for _ in range(5)))
        assert not long.done()
        go_on.set()
        return others, await long

    others, long = ran(one_long())
    assert all(name.startswith("beside") for name in others)
    assert long.startswith("page")


def test_a_fault_reaches_whoever_asked(lanes):
    with pytest.raises(ZeroDivisionError):
        ran(lanes.answer(lambda: 1 // 0))
