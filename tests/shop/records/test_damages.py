"""The fixed small share of benchmarks/damages.py, chosen for what each of them once brought to light."""

import json
import subprocess
import sys

import pytest

from tests.shop.records.commands import ROOT, environment


@pytest.mark.slow
@pytest.mark.parametrize(
    ("seed", "first"),
    [
        (11, 6),  # a page in another's place: columns that give back what they cannot hold
        (3, 16),  # a byte in the name of a table: what SQLite then says is no text
    ],
)
def test_nothing_readable_is_left_behind_and_nothing_ends_in_a_traceback(seed, first):
    asked = ["--seed", str(seed), "--first", str(first), "--times", "1", "--json"]
    done = subprocess.run(
        [sys.executable, "-m", "benchmarks.damages", *asked],
        cwd=ROOT,
        env=environment(),
        capture_output=True,
        text=True,
        check=False,
        timeout=240,
    )
    told = json.loads(done.stdout)
    assert (told["faults"], told["missing"]) == ([], [])
    assert told["readable"] > 0  # by SQLite itself, asked row by row
    assert 0 < told["versions_taken_out"] <= told["versions_saved"]
