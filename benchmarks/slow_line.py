"""Does a slow line to PostgreSQL make pages wait for each other more than the line itself makes them wait?

    python -m benchmarks.slow_line   lines of 0, 2 and 20 ms there and back, 4 and 32 clients

Four job pages are asked of the bench's own application, in this process, through a line that takes so long; once as
the bench hands them to its threads, once in turn as with a database in a file, once to four threads all alike, as
before there were turns; one after the other in the same run.
"""

import argparse
import asyncio
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import AsyncIterator, Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import asynccontextmanager
from pathlib import Path
from statistics import median, quantiles
from types import SimpleNamespace
from typing import Any

from benchmarks.fire import JOB_PAGES
from benchmarks.kills import _server

LINES, CLIENTS, SECONDS, ROUNDS = (0.0, 0.002, 0.020), (4, 32), 3.0, 3  # s there and back; clients; s; rounds
SOCKET = ".s.PGSQL.5432"
Ask = Callable[[Callable[[], Any]], Awaitable[Any]]


async def hand_on(inner: asyncio.StreamReader, outer: asyncio.StreamWriter, delay: float) -> None:
    """Hand on what comes, so much later."""
    loop = asyncio.get_running_loop()
    while data := await inner.read(65536):
        if delay:
            loop.call_later(delay, outer.write, data)
        else:
            outer.write(data)
    loop.call_later(delay, outer.close)


async def line(folder: Path, server: Path, delay: float) -> None:
    """A socket of PostgreSQL's in that folder that leads to the server's, half of the delay each way."""

    async def connected(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        there, back = await asyncio.open_unix_connection(str(server / SOCKET))
        await asyncio.gather(hand_on(reader, back, delay / 2), hand_on(there, writer, delay / 2))

    async with await asyncio.start_unix_server(connected, str(folder / SOCKET)) as listening:
        await listening.serve_forever()


def scope(path: str) -> SimpleNamespace:
    """A request as the web server hands it over."""
    headers = {"accept-encoding": "identity", "cookie": "snath_csrf=" + "a" * 32}
    return SimpleNamespace(
        server="127.0.0.1:8077", client="127.0.0.1:5000", path=path, method="GET", query_string="",
        http_version="1.1", scheme="http", authority="localhost:8077", headers=headers,
    )  # fmt: skip


class Answered:
    """Where an answer goes."""

    def response_bytes(self, status: int, headers: object, body: bytes) -> None:
        """Take it."""
        del headers
        assert status == 200, body[:200]


async def load(clients: int, seconds: float) -> tuple[float, float]:
    """Pages a second and their 95th percentile [s]."""
    from snath.shop.site import server

    times: list[float] = []
    end = time.monotonic() + seconds

    async def client(number: int) -> None:
        while (begun := time.monotonic()) < end:
            await server.application(scope(JOB_PAGES[number % 4]), Answered())
            times.append(time.monotonic() - begun)
            number += 1

    await asyncio.gather(*(client(number) for number in range(clients)))
    return len(times) / seconds, quantiles(times, n=20)[-1]


def alike(threads: int) -> Ask:
    """The same pages in as many threads, none of them the first."""
    pool = ThreadPoolExecutor(threads)

    async def answer(work: Callable[[], Any]) -> Any:
        return await asyncio.get_running_loop().run_in_executor(pool, work)

    return answer


@asynccontextmanager
async def through(server_folder: Path, delay: float) -> AsyncIterator[Path]:
    """A line of its own process."""
    with tempfile.TemporaryDirectory(prefix="snath-line-", dir="/tmp") as folder:
        words = [
            sys.executable,
            "-m",
            "benchmarks.slow_line",
            "--line",
            str(server_folder),
            folder,
            str(delay),
        ]
        with subprocess.Popen(words) as proxy:
            while not (Path(folder) / SOCKET).exists():
                await asyncio.sleep(0.05)
            try:
                yield Path(folder)
            finally:
                proxy.kill()


async def measure(server_folder: Path, rounds: int, seconds: float) -> None:
    """Print both ways for each line and each number of clients."""
    from django.db import connections

    from snath.shop.site import server
    from snath.shop.site.lanes import Lanes

    ways: dict[str, Ask] = {
        "as the bench does": server._answer,
        "in turn": Lanes(ThreadPoolExecutor(server.BESIDE)).answer,
        "4 alike": alike(4),
    }
    for delay in LINES:
        async with through(server_folder, delay) as folder:
            connections.settings["default"]["HOST"] = str(folder)
            for clients in CLIENTS:
                found: dict[str, list[tuple[float, float]]] = {name: [] for name in ways}
                for _ in range(rounds):
                    for name, way in ways.items():
                        server._answer = way
                        await load(4, 0.5)
                        found[name].append(await load(clients, seconds))
                for name, loads in found.items():
                    rate, p95 = (median(one[place] for one in loads) for place in (0, 1))
                    print(
                        f"line {1000 * delay:3.0f} ms, {clients:3} clients, {name:18} "
                        f"{rate:5.0f} pages/s, p95 {1000 * p95:5.0f} ms",
                        flush=True,
                    )


def run(rounds: int, seconds: float) -> None:
    """A server and a filled shop of our own."""
    with tempfile.TemporaryDirectory(prefix="snath-slow-", dir="/tmp") as folder:
        Path(folder).chmod(0o755)  # the server is another user when this is run as root
        place = Path(folder) / "pg"
        os.environ["SNATH_DATABASE"] = _server("start", place)
        try:
            from snath.shop.site.data_folder import DataFolder
            from snath.shop.site.serve import bring_up_to_date, fill_demo_shop, start_django

            start_django(DataFolder(Path(folder) / "data"), SNATH_DEMO="1")
            bring_up_to_date()
            fill_demo_shop()
            asyncio.run(measure(place, rounds, seconds))
        finally:
            _server("stop", place)


def main() -> None:
    """What the command line asks for."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--rounds", type=int, default=ROUNDS)
    asked.add_argument("--seconds", type=float, default=SECONDS)
    asked.add_argument("--line", nargs=3, help=argparse.SUPPRESS)
    given = asked.parse_args()
    if given.line:
        server_folder, folder, delay = given.line
        asyncio.run(line(Path(folder), Path(server_folder), float(delay)))
    else:
        run(given.rounds, given.seconds)


if __name__ == "__main__":
    main()
