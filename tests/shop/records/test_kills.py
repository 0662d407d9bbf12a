"""The fixed small share of benchmarks/kills.py."""

import json
import subprocess
import sys

import pytest

from tests.shop.records.commands import ROOT, environment


@pytest.mark.slow
@pytest.mark.parametrize(("kind", "times"), [("sqlite", 8), ("postgresql", 4)])
def test_no_acknowledged_save_is_lost_or_half_written_when_the_program_is_killed(kind, times):
    done = subprocess.run(
        [sys.executable, "-m", "benchmarks.kills", "--kind", kind, "--times", str(times), "--json"],
        cwd=ROOT,
        env=environment(),
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    tally = json.loads(done.stdout)
    assert tally["kills"] == times
    assert tally["acknowledged"] >= times
    assert (tally["lost"], tally["half_written"], tally["broken_chain"]) == (0, 0, 0)
