"""The tests of the records once more, on PostgreSQL."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[3]


@pytest.mark.slow
@pytest.mark.xdist_group("postgresql")
def test_every_test_of_the_records_that_is_not_slow_passes_on_postgresql_too(postgresql):
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "tests/shop/records", "-m", "not slow", "-rs"],
        env={**os.environ, "SNATH_DATABASE": postgresql},
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout[-4000:] + done.stderr[-2000:]
    assert "passed" in done.stdout
    skipped = [line for line in done.stdout.splitlines() if line.startswith("SKIPPED")]
    assert all("its pragmas make the disk full" in line for line in skipped), skipped
