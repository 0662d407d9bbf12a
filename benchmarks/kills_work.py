"""Long work killed in the middle: recordings in line, a batch on a dask cluster. Is every one of them read in the end?

    python -m benchmarks.kills_work                          10 of each kind
    python -m benchmarks.kills_work --kind queue --times 3

- queue: six films are given to a bench, which is killed twice with all it has begun; started again, it must answer
  for every film that it had said stands in line.
- worker: the process that reads for a batch is killed; the batch must end well, with every file.
- scheduler: the scheduler is killed; the batch must leave with 1 and name what is unread, and a repeat on a new
  scheduler must take over all that was read and read the rest.
"""

import json
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np

from benchmarks._commands import environment, killed
from benchmarks.fire import Browser, a_film, multipart, read_all
from benchmarks.web import SNATH, WITH_US, free_port, server

KINDS = ("queue", "worker", "scheduler")
TIMES, FILMS, FILES = 10, 6, 250
LONGEST = {"queue": 2.5, "worker": 3.0, "scheduler": 3.0}  # s after which a kill comes at the latest
QUIET = "import os; os.dup2(os.open(os.devnull, os.O_WRONLY), 2);"
GIVEN_UP = 240.0  # s after which anything is taken to stand still


def of_queue(place: Path, chance: random.Random) -> str:
    """Films in line while the bench is killed twice; what came of them."""
    lines = list[str]()
    with bench(place) as browser:
        for _ in range(FILMS):
            film = multipart(browser.token("/measure/")[0], a_film(chance.uniform(0, 9)))
            status, line, said = browser.ask("POST", "/measure/", *film)
            if status != 302:
                return f"refused: {said[:200]}"
            lines.append(line)
        time.sleep(chance.uniform(0, LONGEST["queue"]))
    with bench(place):
        time.sleep(chance.uniform(0, LONGEST["queue"]))
    with bench(place) as browser:
        left = sum("data-send-again" not in browser.ask("GET", line)[2] for line in lines)
        read_all(browser, lines)
    return "all read, some after the kills" if left else "all read before the last kill"


@contextmanager
def bench(place: Path) -> Iterator[Browser]:
    """A bench on that folder, killed at the end; each at a port of its own, that a dying one may still hold."""
    port = free_port()
    with server([*SNATH, "serve", "--port", str(port), "--data", str(place / "shop")], port):
        browser = Browser(port)
        yield browser
        browser.line.close()


@contextmanager
def cluster() -> Iterator[tuple[str, subprocess.Popen[bytes]]]:
    """A scheduler and one reader that is begun again where it ends; its address and process."""
    port = free_port()
    address = f"tcp://127.0.0.1:{port}"
    scheduler = [*dask("scheduler"), "--host", "127.0.0.1", "--port", str(port), "--no-dashboard"]
    reader = [*dask("worker"), address, "--nworkers", "1", "--nthreads", "1", "--no-dashboard"]
    with server(scheduler, port) as first, server(reader, port):
        yield address, first


def dask(part: str) -> list[str]:
    """The command of a part of a cluster."""
    begin = f"{WITH_US} from distributed.cli.dask_{part} import main; main()"
    return [sys.executable, "-c", f"{QUIET} {begin}"]


def logs(folder: Path) -> None:
    """Lists of pulses of speeds by construction, one a turn."""
    folder.mkdir()
    for number in range(FILES):
        t = np.arange(600) / (30 + number)
        (folder / f"{number:03}.csv").write_text("\n".join(f"{one:.6f}" for one in t))


def of_batch(kind: str, place: Path, chance: random.Random) -> str:
    """A batch whose worker or scheduler is killed; what came of it and of its repeat."""
    logs(place / "logs")
    words = (*SNATH, "batch", place / "logs", "--out", place / "t.parquet", "--per-turn", "1", "--on", "dask")
    with cluster() as (address, scheduler):
        asked = [*map(str, words), "--scheduler", address, "--json"]
        with subprocess.Popen(asked, env=environment(), stdout=subprocess.PIPE, text=True) as batch:
            end = time.monotonic() + GIVEN_UP
            while not _begun(place) and batch.poll() is None and time.monotonic() < end:
                time.sleep(0.01)
            time.sleep(chance.uniform(0, LONGEST[kind]))
            late = batch.poll() is not None
            for number in [scheduler.pid] if kind == "scheduler" else _readers(address):
                os.kill(number, signal.SIGKILL)
            said = batch.communicate(timeout=GIVEN_UP)[0]
    told = json.loads(said.splitlines()[-1])
    if kind == "worker" or late:
        whole = batch.returncode == 0 and told["files"] == FILES and not told["unread"]
        return ("had finished" if late else "finished") if whole else f"left with {batch.returncode}: {told}"
    if batch.returncode != 1 or told["files"] + len(told["unread"]) != FILES:
        return "finished" if batch.returncode == 0 and told["files"] == FILES else f"not told: {told}"
    with cluster() as (address, _):
        again = subprocess.run(
            [*map(str, words), "--scheduler", address, "--json"],
            env=environment(), capture_output=True, text=True, check=False, timeout=GIVEN_UP,
        )  # fmt: skip
    found = json.loads(again.stdout.splitlines()[-1])
    whole = again.returncode == 0 and found["files"] == FILES and found["taken_over"] >= told["files"]
    return "finished by the repeat" if whole else f"repeat left with {again.returncode}: {found}"


def _begun(place: Path) -> bool:
    """Whether something has been read and noted."""
    return any(one.stat().st_size for one in place.glob("*") if one.is_file())


def _readers(address: str) -> list[int]:
    """Processes that read for that scheduler: children of the one that begins them again."""
    found = subprocess.run(["pgrep", "-f", f"worker.*{address}"], capture_output=True, text=True, check=False)
    children = ["pgrep", "-P", ",".join(found.stdout.split()), "-f", "spawn_main"]
    return [
        int(one)
        for one in subprocess.run(children, capture_output=True, text=True, check=False).stdout.split()
    ]


def run(kind: str, times: int, seed: int) -> Counter[str]:
    """That many kills of one kind."""
    found, chance = Counter[str](), random.Random(seed)
    for _ in range(times):
        with tempfile.TemporaryDirectory(prefix="snath-kills-", ignore_cleanup_errors=True) as place:
            found[
                of_queue(Path(place), chance) if kind == "queue" else of_batch(kind, Path(place), chance)
            ] += 1
    return found


def main() -> None:
    """All kinds."""
    subprocess.run([sys.executable, "-m", "benchmarks.kills_work"], check=True)


def asked_for() -> None:
    """What the command line asks for; leaves with 1 where anything was lost."""
    killed(
        __doc__,
        KINDS,
        TIMES,
        run,
        well=lambda what: what.startswith(("all read", "finished", "had finished")),
    )


if __name__ == "__main__":
    asked_for()
