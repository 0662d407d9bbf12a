"""Several benches on one PostgreSQL database: those that go together serve as one, any other does not start."""

import subprocess
from pathlib import Path

import psycopg
import pytest

from snath.shop.site.benches import Lock
from tests.shop.records.commands import SNATH, environment, run
from tests.shop.records.test_before_migrating import set_back
from tests.shop.site.test_serve import Serving, free_port

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("postgresql")]


def refusal(folder: Path, database: str, **more: Path) -> str:
    """What a bench says that does not start."""
    known = environment(database) | {f"SNATH_{name.upper()}": str(path) for name, path in more.items()}
    done = subprocess.run(
        [*SNATH, "serve", "--port", str(free_port()), "--data", str(folder)],
        env=known, capture_output=True, text=True, check=False, timeout=240,
    )  # fmt: skip
    assert done.returncode == 2, done.stdout + done.stderr
    return done.stderr


def test_a_bench_that_differs_from_the_others_does_not_start_and_says_in_what(postgresql, tmp_path):
    first, port = tmp_path / "first", free_port()
    with Serving("--port", port, "--data", first, database=postgresql) as served:
        served.wait_until_it_listens(port)
        assert "secret key" in refusal(tmp_path / "second", postgresql)
        told = refusal(tmp_path / "second", postgresql, secret_key_file=first / "secret-key")
        assert "attachments" in told
        assert (first / "secret-key").read_text() not in told
        # Tables are not changed under somebody who works with them.
        set_back(first, postgresql)
        fault = run("verify", "--data", first, database=postgresql, code=2)["errors"][0]
        assert "stop every one first" in fault["allowed"]
    run("verify", "--data", first, database=postgresql)  # its locks went with it


def test_another_program_does_not_start_beside_this_one(postgresql, tmp_path):
    run("verify", "--data", tmp_path / "shop", database=postgresql)
    with psycopg.connect(postgresql) as other:
        other.execute("SELECT pg_advisory_lock_shared(%s, 1)", [int(Lock.PROGRAM)])
        assert "program" in refusal(tmp_path / "shop", postgresql)
