"""Several benches on one PostgreSQL database: those that go together serve as one, any other does not start."""

import re
import subprocess
import time
from pathlib import Path

import psycopg
import pytest

from benchmarks.fire import Browser
from snath.shop.site.benches import Lock
from tests.shop import ladder
from tests.shop.records.commands import SNATH, environment, run
from tests.shop.records.test_before_migrating import set_back
from tests.shop.site.test_one_worker import PIECES, Page
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


def holder(other: psycopg.Connection) -> int | None:
    """The line of a bench that holds the lock of its program."""
    row = other.execute(
        "SELECT pid FROM pg_locks WHERE locktype = 'advisory' AND classid::bigint = %s", [int(Lock.PROGRAM)]
    ).fetchone()
    return row and row[0]


def test_locks_that_are_lost_with_the_line_are_taken_again_or_the_bench_stops(postgresql, tmp_path):
    port = free_port()
    with (
        Serving("--port", port, "--data", tmp_path / "shop", database=postgresql) as served,
        psycopg.connect(postgresql, autocommit=True) as other,
    ):
        served.wait_until_it_listens(port)
        first = holder(other)
        other.execute("SELECT pg_terminate_backend(%s)", [first])
        for _ in range(600):
            if (second := holder(other)) not in (None, first):
                break
            time.sleep(0.1)
        assert second not in (None, first)
        # Another program is quicker.
        other.execute("SELECT pg_advisory_lock(%s, 0)", [int(Lock.CHANGING)])
        other.execute("SELECT pg_terminate_backend(%s)", [second])
        other.execute("SELECT pg_advisory_lock_shared(%s, 1)", [int(Lock.PROGRAM)])
        other.execute("SELECT pg_advisory_unlock(%s, 0)", [int(Lock.CHANGING)])
        assert served.process.wait(60) == 2
        assert "program" in served.printed


def test_two_benches_are_one_to_whoever_meets_now_this_one_and_now_that(postgresql, tmp_path):
    ports, first = (free_port(), free_port()), tmp_path / "first"
    with Serving("--port", ports[0], "--data", first, database=postgresql) as one:
        one.wait_until_it_listens(ports[0])
        known = {"SNATH_SECRET_KEY_FILE": first / "secret-key", "SNATH_ATTACHMENTS": first / "attachments"}
        with Serving(
            "--port", ports[1], "--data", tmp_path / "second", database=postgresql, known=known
        ) as other:
            other.wait_until_it_listens(ports[1])
            _hear(ports)
            _judge(ports)


def _hear(ports: tuple[int, int]) -> None:
    """Every other half second to the other bench: nobody begins anew."""
    page = Page(ports[0])
    bases = [page.base, f"http://localhost:{ports[1]}"]
    answers = []
    for number in range(PIECES):
        page.base = bases[number % 2]
        answers.append(page.send(number))
    assert not any("began anew" in answer for answer in answers)
    assert "began anew" in page.send(PIECES + 5)  # the guard can fail


def _judge(ports: tuple[int, int]) -> None:
    """A clip given to one is seen in the line, and its speeds on the page, by the other."""
    browser = Browser(ports[0])
    token = browser.token("/measure/")[0]
    edge = "edge"
    head = f'--{edge}\r\nContent-Disposition: form-data; name="csrfmiddlewaretoken"\r\n\r\n{token}\r\n'
    head += f'--{edge}\r\nContent-Disposition: form-data; name="clip"; filename="x.wav"\r\n\r\n'
    body = head.encode() + ladder.as_sound() + f"\r\n--{edge}--\r\n".encode()
    status, line, _ = browser.ask("POST", "/measure/", body, f"multipart/form-data; boundary={edge}")
    assert (status, "/line/" in line) == (302, True)
    other = Browser(ports[1])
    other.cookies = browser.cookies
    for _ in range(1200):
        said = other.ask("GET", line)[2]
        if "data-send-again" in said:
            break
        time.sleep(0.1)
    entries = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', said))
    entries["csrfmiddlewaretoken"] = other.token("/measure/")[0]
    form = "&".join(f"{name}={value}" for name, value in entries.items())
    status, where, found = other.ask("POST", "/measure/", form.encode(), "application/x-www-form-urlencoded")
    browser.line.close(), other.line.close()
    assert status == 200, where
    assert "the clip given before is gone" not in found
    assert "rpm" in found
