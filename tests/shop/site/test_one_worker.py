"""Live sessions are held by one process: the server must not run a second one, or a piece could meet a stranger."""

import re
import struct
import urllib.request
import uuid
from math import pi, sin
from pathlib import Path

import pytest

from snath.shop.site import serve
from tests.shop.site.test_serve import Serving, free_port

RATE, HALF_SECOND, PIECES = 8000, 4000, 12


class Started:
    """Stands in for the server and remembers how it was to be run."""

    asked: dict[str, object]

    def __init__(self, target: str, **how: object) -> None:
        Started.asked = {"target": target, **how}

    def serve(self) -> None:
        """Serve nothing."""


def test_the_server_is_started_with_one_worker_that_is_never_replaced_while_it_runs(monkeypatch):
    monkeypatch.setattr(serve, "Server", Started)
    serve.listen(serve.Where(free_port()))
    assert Started.asked["workers"] == 1
    # A worker replaced after a while, or for its memory, would forget what it has heard.
    assert not {"workers_lifetime", "workers_max_rss", "respawn_failed_workers"} & Started.asked.keys()


def test_a_line_that_says_nothing_gives_its_place_back(monkeypatch):
    monkeypatch.setattr(serve, "Server", Started)
    serve.listen(serve.Where(free_port()))
    # In its other modes this server waits for the first byte of a line without end (measured, see benchmarks/fire.py).
    assert Started.asked["http"] == "1"
    assert Started.asked["http1_settings"].header_read_timeout <= 15_000
    assert Started.asked["backpressure"] >= 512


def piece(number: int) -> bytes:
    """Half a second of a tone, mono, 16 bit."""
    samples = range(number * HALF_SECOND, (number + 1) * HALF_SECOND)
    return struct.pack(f"<{HALF_SECOND}h", *(int(9000 * sin(2 * pi * 110 * n / RATE)) for n in samples))


class Page:
    """A browser's page: its cookie, its token and its session, over a new connection for each request."""

    def __init__(self, port: int) -> None:
        self.base, self.session = f"http://localhost:{port}", uuid.uuid4()
        self.browser = urllib.request.build_opener(urllib.request.HTTPCookieProcessor())
        with self.browser.open(f"{self.base}/measure/", timeout=60) as page:
            found = re.search(r'csrf[a-z-]*"[^>]*?(?:value|content)="([^"]+)"', page.read().decode())
        assert found is not None
        self.token = found.group(1)

    def send(self, number: int) -> str:
        """Post one piece; what the page then shows."""
        where = f"session={self.session}&number={number}&start={number * HALF_SECOND}&rate={RATE}"
        asking = urllib.request.Request(
            f"{self.base}/measure/pieces/?{where}",
            data=piece(number),
            headers={"X-CSRFToken": self.token, "Origin": self.base, "Connection": "close"},
        )
        with self.browser.open(asking, timeout=60) as answer:
            return answer.read().decode()


@pytest.mark.slow
def test_every_piece_over_a_connection_of_its_own_meets_the_same_session(tmp_path: Path):
    port = free_port()
    with Serving("--port", port, "--data", tmp_path / "shop") as served:
        served.wait_until_it_listens(port)
        page = Page(port)
        answers = [page.send(number) for number in range(PIECES)]
        assert not any("began anew" in answer for answer in answers)
        # The guard can fail: a piece that does not follow on the last one is told.
        assert "began anew" in page.send(PIECES + 5)
