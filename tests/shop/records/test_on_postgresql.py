"""The tests of the records and of coming in once more, on PostgreSQL."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[3]
AGAIN = ("records", "site/test_login.py", "site/test_pairing.py")


@pytest.mark.slow
@pytest.mark.xdist_group("postgresql")
def test_the_same_tests_pass_on_postgresql(postgresql):
    done = subprocess.run(
        [sys.executable, "-m", "pytest", *(f"tests/shop/{part}" for part in AGAIN), "-m", "not slow", "-rs"],
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
