"""A browser on the running bench: the real server, on a folder of its own, with the invented shop in it."""

import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

# Playwright keeps an event loop in this thread, which the framework would take for asynchronous code.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"

CHROMIUM = os.environ.get("SNATH_CHROMIUM", "/usr/bin/chromium")
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
PHONE, DESK = {"width": 390, "height": 844}, {"width": 1280, "height": 900}
WAIT_MS = 60_000  # a recording stands in line, and the machine may be busy
expect.set_options(timeout=WAIT_MS)


def free_port() -> int:
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        return int(door.getsockname()[1])


def answers(address: str) -> bool:
    try:
        with urllib.request.urlopen(address, timeout=30) as reply:
            return bool(reply.status == 200)
    except (urllib.error.URLError, ConnectionError, TimeoutError):
        return False


@pytest.fixture(scope="session")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Address of the bench, served as `snath serve --demo` serves it."""
    folder: Path = tmp_path_factory.mktemp("bench")
    port = free_port()
    log = (folder / "server.log").open("wb")
    snath = Path(sys.executable).with_name("snath")
    command = [str(snath), "serve", "--demo", "--port", str(port), "--data", str(folder / "data")]
    inherited = {
        name: value for name, value in os.environ.items() if not name.startswith(("SNATH_", "DJANGO_"))
    }
    server = subprocess.Popen(command, stdout=log, stderr=log, env={**inherited, "OMP_NUM_THREADS": "1"})
    address = f"http://localhost:{port}"
    try:
        for _ in range(480):
            if server.poll() is not None or answers(address):
                break
            time.sleep(0.25)
        assert answers(address), (folder / "server.log").read_text(errors="replace")[-3000:]
        yield address
    finally:
        server.terminate()
        server.wait(120)
        log.close()


@pytest.fixture(scope="session")
def browser_type_launch_args() -> dict[str, object]:
    assert Path(CHROMIUM).exists(), "Chromium is missing: apt-get install chromium"
    return {"executable_path": CHROMIUM, "args": ARGUMENTS, "headless": True}


@pytest.fixture(scope="session")
def base_url(bench: str) -> str:
    return bench


@pytest.fixture(scope="session")
def browser_context_args(bench: str) -> dict[str, object]:
    return {"base_url": bench, "viewport": PHONE, "locale": "en-US", "color_scheme": "light"}


@pytest.fixture
def quiet(page: Page) -> Iterator[Page]:
    """A page on which nothing is refused by the content policy and no script fails."""
    said: list[str] = []
    page.set_default_timeout(WAIT_MS)
    page.on("pageerror", lambda fault: said.append(str(fault)))
    page.on("console", lambda line: said.append(line.text) if line.type == "error" else None)
    yield page
    assert [line for line in said if "422" not in line and "409" not in line] == []
