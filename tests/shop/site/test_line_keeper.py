"""Recordings are read in processes of their own: bounded, replaced, given back, and never twice."""

import os
import signal
import sys
import threading
import time
from pathlib import Path

import pytest

from snath.quantities.errors import InputError
from snath.shop.media.request import ReadRequest
from snath.shop.media.told import Told, asked_to_json, told_from_json
from snath.shop.records.held_clips import hold
from snath.shop.records.line import ask
from snath.shop.records.models import Person, Progress, RecordingAsk
from snath.shop.site import line_keeper
from snath.shop.site.line_keeper import Keeper
from tests.shop import ladder

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(sys.platform == "win32", reason="signals"),
]
STEPS = 3000  # of the keeper, each of a fifth of a second at most


@pytest.fixture
def who() -> Person:
    return Person.objects.create(name="mechanic")


def put(who: Person, content: bytes, asked: ReadRequest | None = None) -> RecordingAsk:
    clip = hold(who, "x.wav", [content])
    words = asked_to_json(asked or ReadRequest())
    return ask(who, key=clip.sha256, source=clip.sha256, asked=words, path="/measure/", entries="{}")


@pytest.fixture
def keeper():
    kept = Keeper(1)
    yield kept
    for one in kept.at_work:
        kept._end(one)


def go_on(keeper: Keeper, until) -> None:
    for _ in range(STEPS):
        if until():
            return
        keeper.step()
    pytest.fail("the line stands still")


def told(row: RecordingAsk) -> Told:
    row.refresh_from_db()
    assert row.progress == Progress.DONE
    return told_from_json(row.answer)


def done(*rows: RecordingAsk):
    keys = [row.pk for row in rows]
    return lambda: not RecordingAsk.objects.filter(pk__in=keys).exclude(progress=Progress.DONE).exists()


def test_what_waits_is_read_in_turn_and_the_processes_are_gone_afterwards(who, keeper):
    good, bad = (
        put(who, ladder.as_sound(), ReadRequest(machine=ladder.SINGLE)),
        put(who, b"no sound at all" * 100),
    )
    pids, begin = [], keeper._begin

    def begun(row: RecordingAsk) -> None:
        begin(row)
        assert len(keeper.at_work) == 1  # as many as it was told
        pids.append(keeper.at_work[0].process.pid)

    keeper._begin = begun
    go_on(keeper, done(good, bad))
    assert len(told(good).reading.plateaus) == 3  # by construction, see `ladder`
    with pytest.raises(InputError, match="no-such-format"):
        told(bad)
    assert len(set(pids)) == 2  # each in its own process
    assert not any(Path(f"/proc/{pid}").exists() for pid in pids)


def test_a_reader_that_is_killed_is_replaced_once_and_then_the_recording_is_given_up(who, keeper):
    row = put(who, ladder.as_sound())
    for _ in range(2):
        go_on(keeper, lambda: keeper.at_work)
        os.kill(keeper.at_work[0].process.pid, signal.SIGKILL)
        go_on(keeper, lambda: not keeper.at_work)
    with pytest.raises(InputError, match="reader-down"):
        told(row)
    go_on(keeper, done(row))


def test_a_recording_another_reader_has_taken_over_is_let_go(who, keeper, monkeypatch):
    monkeypatch.setattr(line_keeper, "RENEWED", 0.0)
    row = put(who, ladder.as_sound())
    go_on(keeper, lambda: keeper.at_work)
    RecordingAsk.objects.update(holder="another")
    go_on(keeper, lambda: not keeper.at_work)
    row.refresh_from_db()
    assert (row.progress, row.answer) == (Progress.READING, "")


def test_a_reading_process_has_a_bound_on_its_memory_and_gives_way_to_pages(who, keeper):
    put(who, ladder.as_sound())
    go_on(keeper, lambda: keeper.at_work)
    pid = keeper.at_work[0].process.pid
    for _ in range(STEPS):
        limits = Path(f"/proc/{pid}/limits").read_text()
        space = next(text for text in limits.splitlines() if text.startswith("Max address space")).split()[3]
        if space.isdigit():
            break
        time.sleep(0.02)
    assert int(space) == 3 * 2**30
    assert os.getpriority(os.PRIO_PROCESS, pid) > os.getpriority(os.PRIO_PROCESS, os.getpid())


def test_a_clip_that_is_gone_is_said_and_does_not_stop_the_line(who, keeper, settings):
    lost, good = put(who, b"lost"), put(who, b"no sound at all")
    for file in (settings.MEDIA_ROOT / ".held").iterdir():
        if file.name == lost.source:
            file.unlink()
    go_on(keeper, done(lost, good))
    with pytest.raises(InputError, match="gone"):
        told(lost)


def test_the_keeper_ends_when_it_is_told_and_leaves_nobody_at_work(who, keeper):
    put(who, ladder.as_sound())
    over = threading.Event()
    pids: list[int] = []
    real = keeper.step

    def step() -> None:
        real()
        if keeper.at_work:
            pids.append(keeper.at_work[0].process.pid)
            over.set()

    keeper.step = step
    keeper.run(over)
    assert pids
    assert not Path(f"/proc/{pids[0]}").exists()
