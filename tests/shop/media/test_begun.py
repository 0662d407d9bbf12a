"""One process has the decoder loaded; every file gets a child of it, which is ended whatever happens."""

import os
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest

from benchmarks.simulator.files import sound_file
from snath.shop.media import begun, decoder
from snath.shop.media.film import streams
from snath.shop.media.sound import sound_stream, whole
from tests.told import refused

LOOKS = 1200  # of a twentieth of a second, for a machine that is busy

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="nothing forks here")


@pytest.fixture
def clip():
    seconds = np.arange(64_000) / 8_000
    return sound_file((0.5 * np.sin(2770 * seconds)).astype(np.float32), 8_000, "wav")


def test_the_decoder_is_loaded_once_for_many_files(clip):
    begun.end()
    streams(clip)
    loaded = begun._LOADED._process.pid
    for _ in range(3):
        whole(sound_stream(clip))
    assert begun._LOADED._process.pid == loaded


def test_where_the_loaded_process_was_ended_by_others_another_is_begun(clip):
    streams(clip)
    begun._LOADED._process.kill()
    begun._LOADED._process.wait()
    assert streams(clip).sound


def test_a_child_is_ended_as_soon_as_nobody_listens_any_more():
    # A pipe that nobody writes to any more holds the child up for ever, were it not ended.
    reading, writing = os.pipe()
    with os.fdopen(reading, "rb") as file, os.fdopen(writing, "wb"):
        with begun.begun(file, {"what": "probe"}) as (_, pid):
            os.kill(pid, 0)  # it is there
        for _ in range(LOOKS):
            try:
                os.kill(pid, 0)
            except ProcessLookupError:
                return
            time.sleep(0.05)
    pytest.fail("the child is still there")


def test_no_process_to_be_had_is_told_of_the_file(clip, monkeypatch):
    def none(*_):
        raise ChildProcessError

    monkeypatch.setattr(begun._LOADED, "fork", none)
    with refused("cannot be read now"):
        streams(clip)


@pytest.mark.skipif(sys.platform != "linux", reason="looks where Linux lists what is open")
def test_a_child_holds_open_its_own_file_and_pipe_alone():
    # By hand: the file, nowhere for the decoder's words, errors, and the pipe.
    reading, writing = os.pipe()
    with (
        os.fdopen(reading, "rb") as file,
        os.fdopen(writing, "wb"),
        begun.begun(file, {"what": "probe"}) as (_, pid),
    ):
        for _ in range(LOOKS):
            held = {int(one.name) for one in Path(f"/proc/{pid}/fd").iterdir()}
            if held == {0, 1, 2, 3}:
                return
            time.sleep(0.05)
    assert held == {0, 1, 2, 3}


@pytest.mark.skipif(sys.platform != "linux", reason="looks where Linux tells the state of threads")
def test_a_child_whose_threads_work_does_not_stand_still():
    # Property: a film is decoded in threads, while the one that began them waits.
    busy = "import threading; t = threading.Thread(target=lambda: sum(1 for _ in iter(int, 1))); t.start(); t.join()"
    with subprocess.Popen([sys.executable, "-c", busy]) as child:
        try:
            waiting = (
                decoder._stat(Path(f"/proc/{child.pid}"))[:1] == ["S"]
                for _ in range(LOOKS)
                if not time.sleep(0.05)
            )
            assert any(waiting)
            assert decoder._runnable(child.pid)
        finally:
            child.kill()
