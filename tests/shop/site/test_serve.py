"""The real server, started as a person does."""

import os
import re
import signal
import ssl
import subprocess
import tempfile
import time
import urllib.request
from http.client import HTTPConnection, HTTPException, HTTPSConnection
from pathlib import Path
from socket import socket

import pytest

from tests.shop.records.commands import SNATH, environment, fill, run

pytestmark = pytest.mark.slow


def free_port() -> int:
    with socket() as asking:
        asking.bind(("127.0.0.1", 0))
        return asking.getsockname()[1]


class Serving:
    """A server in a process of its own; ends with the test."""

    def __init__(
        self, *words: object, said: str = "", database: str = "", known: dict[str, object] | None = None
    ) -> None:
        self.said = tempfile.TemporaryFile("w+")  # noqa: SIM115 - a pipe nobody reads could stop the server
        self.process = subprocess.Popen(
            [*SNATH, "serve", *map(str, words)],
            env=environment(database) | {name: str(value) for name, value in (known or {}).items()},
            stdin=subprocess.PIPE,
            stdout=self.said,
            stderr=subprocess.STDOUT,
            text=True,
            start_new_session=True,  # so that its worker ends with it
        )
        assert self.process.stdin is not None
        self.process.stdin.write(said)
        self.process.stdin.close()

    @property
    def printed(self) -> str:
        self.said.seek(0)
        return self.said.read()

    def __enter__(self) -> "Serving":
        return self

    def wait_until_it_listens(self, port: int) -> None:
        end = time.monotonic() + 120
        while time.monotonic() < end and self.process.poll() is None:
            with socket() as trying:
                if trying.connect_ex(("127.0.0.1", port)) == 0:
                    break
            time.sleep(0.05)
        assert self.process.poll() is None, self.printed

    def __exit__(self, *why: object) -> None:
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()
        self.said.close()


def status(port: int, path: str = "/people/", **headers: str) -> int:
    asking = HTTPConnection("127.0.0.1", port, timeout=60)
    try:
        asking.putrequest("GET", path, skip_host=True)
        for name, value in {"Host": f"localhost:{port}", **headers}.items():
            asking.putheader(name, value)
        asking.endheaders()
        return asking.getresponse().status
    finally:
        asking.close()


def test_on_its_own_machine_it_listens_there_only_and_refuses_foreign_hosts_and_origins(tmp_path: Path):
    port = free_port()
    with Serving("--port", port, "--data", tmp_path / "shop") as served:
        served.wait_until_it_listens(port)
        assert status(port) == 200
        assert status(port, Host="evil.example") == 400
        assert status(port, Origin="http://evil.example") == 400
        assert status(port, "/static/people/pair.js", Host="evil.example") == 400
        assert status(port, "/static/people/pair.js") == 200
        listens = Path("/proc/net/tcp").read_text()
        here = re.findall(rf"([0-9A-F]{{8}}):{port:04X} 00000000:0000 0A", listens)
        assert here == ["0100007F"]  # 127.0.0.1, least byte first
        assert (tmp_path / "shop" / "secret-key").stat().st_mode & 0o777 == 0o600
        # Nobody else may serve, restore or move this folder meanwhile; a backup may be taken.
        used = run("restore", _some_file(tmp_path), "--data", tmp_path / "shop", code=2)
        assert "in use by another" in used["errors"][0]["allowed"]
        run("backup", tmp_path / "b", "--data", tmp_path / "shop", "--untried")
        taken = subprocess.run(
            [*SNATH, "serve", "--port", str(port), "--data", tmp_path / "other"],
            env=environment(), capture_output=True, text=True, check=False, timeout=120,
        )  # fmt: skip
        assert taken.returncode == 2
        assert "must be free" in taken.stderr


def _some_file(folder: Path) -> Path:
    (folder / "file").write_bytes(b"x")
    return folder / "file"


@pytest.mark.xdist_group("postgresql")
@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_a_page_kept_ready_shows_at_once_what_another_process_saved(tmp_path: Path, kind, request):
    port, folder = free_port(), tmp_path / "shop"
    database = request.getfixturevalue("postgresql") if kind == "postgresql" else ""
    with Serving("--port", port, "--data", folder, database=database) as served:
        served.wait_until_it_listens(port)
        before = {body(port, "/today/") for _ in range(12)}  # each of the server's threads keeps it
        assert len(before) == 1
        fill(folder, 1, database)
        after = {body(port, "/today/") for _ in range(12)}
        assert len(after) == 1
        assert after != before
        assert "21 inch walk-behind" in after.pop()


def body(port: int, path: str) -> str:
    """A page without its form token, which differs each time."""
    asking = HTTPConnection("127.0.0.1", port, timeout=60)
    asking.request("GET", path, headers={"Host": f"localhost:{port}"})
    said = asking.getresponse().read().decode()
    asking.close()
    return re.sub(r"\b\w{64}\b", "", said)


def test_with_lan_it_serves_https_by_an_authority_of_its_own_and_asks_for_a_login(tmp_path: Path):
    port, folder = free_port(), tmp_path / "shop"
    words = ["--port", port, "--data", folder, "--lan", "--name", "shop.local", "--address", "127.0.0.1"]
    said = "first owner\nlong grass, dull blade\nlong grass, dull blade\n"
    with Serving(*words, said=said) as served:
        served.wait_until_it_listens(port)
        trusting = ssl.create_default_context(cafile=str(folder / "certificates" / "authority.crt"))
        assert _over_tls(port, trusting, "/trust/") == 200
        assert _over_tls(port, trusting, "/people/") == 302
        assert _over_tls(port, trusting, "/people/", host="localhost") == 400
        with pytest.raises(ssl.SSLCertVerificationError):
            _over_tls(port, ssl.create_default_context(), "/trust/")
        with pytest.raises((OSError, HTTPException)):  # plain HTTP is not answered at all
            urllib.request.urlopen(f"http://127.0.0.1:{port}/trust/", timeout=5)
        assert re.search(r"([0-9A-F]{2}:){31}[0-9A-F]{2}", served.printed)


def _over_tls(port: int, trusting: ssl.SSLContext, path: str, host: str = "127.0.0.1") -> int:
    asking = HTTPSConnection("127.0.0.1", port, timeout=60, context=trusting)
    try:
        asking.request("GET", path, headers={"Host": f"{host}:{port}"})
        return asking.getresponse().status
    finally:
        asking.close()


def test_lan_without_an_owner_and_without_a_keyboard_does_not_open(tmp_path: Path):
    done = subprocess.run(
        [*SNATH, "serve", "--port", str(free_port()), "--data", tmp_path / "shop", "--lan", "--address", "127.0.0.1"],
        env=environment(), input="", capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip
    assert done.returncode != 0
    assert "Nobody owns this shop yet" in done.stdout


def test_killed_while_serving_it_serves_again_with_all_that_was_saved(tmp_path: Path):
    folder, port = tmp_path / "shop", free_port()
    fill(folder, 5)
    before = run("verify", "--data", folder)
    with Serving("--port", port, "--data", folder) as served:
        served.wait_until_it_listens(port)
    assert run("verify", "--data", folder) == before
    with Serving("--port", port, "--data", folder) as again:
        again.wait_until_it_listens(port)
        assert status(port) == 200
