"""Whoever is killed leaves nobody at work: the bench takes its worker, its line and its readers along."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.shop.records.commands import ROOT, environment
from tests.shop.site.test_serve import Serving, free_port

pytestmark = [pytest.mark.slow, pytest.mark.skipif(sys.platform != "linux", reason="asks /proc")]
LOOKS = 1200  # of a twentieth of a second


def descendants(pid: int) -> set[int]:
    parents = {}
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            parents[int(stat.parent.name)] = int(stat.read_text().rpartition(")")[2].split()[1])
        except OSError:
            continue
    found: set[int] = set()
    while more := {one for one, parent in parents.items() if parent in found | {pid}} - found:
        found |= more
    return found


def gone(pids: set[int]) -> bool:
    """Whether all of them end; one nobody has asked for its end yet has ended."""
    for _ in range(LOOKS):
        if not any(_at_work(pid) for pid in pids):
            return True
        time.sleep(0.05)
    return False


def _at_work(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] not in "ZX"
    except OSError:
        return False


def test_the_bench_takes_everybody_along_when_it_is_killed(tmp_path: Path):
    port = free_port()
    with Serving("--port", port, "--data", tmp_path / "shop") as served:
        served.wait_until_it_listens(port)
        begun = descendants(served.process.pid)
        for _ in range(LOOKS):
            if len(begun := descendants(served.process.pid)) >= 3:  # worker, line, and what forks readers
                break
            time.sleep(0.05)
        assert len(begun) >= 3
        os.kill(served.process.pid, signal.SIGKILL)
        assert gone(begun)


def test_a_reader_ends_when_the_line_is_killed():
    command = [sys.executable, "-m", "tests.shop.site.stuck"]
    with subprocess.Popen(command, cwd=ROOT, env=environment(), stdout=subprocess.PIPE, text=True) as line:
        assert line.stdout is not None
        own, reader = map(int, line.stdout.readline().split())
        assert _at_work(reader)
        os.kill(own, signal.SIGKILL)
        line.wait()
    assert gone({reader})
