"""What does the busiest page cost beside a bare one, and does search stay quick in a large shop?

    python -m benchmarks.web                 both; prints rates, p95 and ratios
    python -m benchmarks.web --only search --jobs 100000

Rates: 32 clients with kept connections ask the same server program (granian, 1 worker, 4 threads), once set
up as `snath serve` sets it up with the day's page of the invented shop, once with nothing but the framework and a
page of one row read through the ORM. Both servers run in turn, several times, in the same run.
"""

import argparse
import json
import os
import sqlite3
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from http.client import HTTPConnection
from pathlib import Path
from socket import socket
from statistics import median, quantiles

CLIENTS, SECONDS, ROUNDS = 32, 4.0, 3
BUSIEST = "/today/"
# On Linux it ends with whoever began it (prctl(2), PR_SET_PDEATHSIG is 1): a killed run leaves nothing behind.
WITH_US = "import sys, ctypes; sys.platform == 'linux' and ctypes.CDLL(None).prctl(1, 9);"
SNATH = [sys.executable, "-c", f"{WITH_US} from snath.shop.cli.main import main; main()"]
SMALL_SHOP, LARGE_SHOP = 1_000, 100_000


@dataclass(frozen=True)
class Load:
    """What one round of asking brought."""

    rate: float
    p95: float


def ask(port: int, path: str, seconds: float) -> Load:
    """Let all clients ask for one page as fast as they get it."""
    times: list[float] = []
    end = time.monotonic() + seconds

    def client() -> None:
        asking = HTTPConnection("127.0.0.1", port, timeout=30)
        headers = {"Host": f"localhost:{port}"}
        while (begun := time.monotonic()) < end:
            asking.request("GET", path, headers=headers)
            answer = asking.getresponse()
            answer.read()
            if given := answer.headers.get("Set-Cookie"):
                headers["Cookie"] = given.split(";")[0]  # as a browser does
            assert answer.status == 200, answer.status
            times.append(time.monotonic() - begun)
        asking.close()

    clients = [threading.Thread(target=client) for _ in range(CLIENTS)]
    for one in clients:
        one.start()
    for one in clients:
        one.join()
    return Load(len(times) / seconds, quantiles(times, n=20)[-1])


@contextmanager
def server(command: list[str], port: int) -> Iterator[subprocess.Popen[bytes]]:
    """A server in a process of its own, killed at the end with all it has begun."""
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, start_new_session=True)
    try:
        end = time.monotonic() + 240  # a demo shop is filled first, and this machine may be busy
        while time.monotonic() < end and process.poll() is None:
            with socket() as trying:
                if trying.connect_ex(("127.0.0.1", port)) == 0:
                    break
            time.sleep(0.05)
        yield process
    finally:
        with suppress(ProcessLookupError):
            os.killpg(process.pid, 9)
        process.wait()


def free_port() -> int:
    """A port nobody listens on."""
    with socket() as asking:
        asking.bind(("127.0.0.1", 0))
        port: int = asking.getsockname()[1]
        return port


def rates(rounds: int, seconds: float) -> float:
    """Print both rates; return ours as a share of the bare page's."""
    with tempfile.TemporaryDirectory(prefix="snath-web-") as folder:
        ours, bare = free_port(), free_port()
        serve = [*SNATH, "serve", "--port", str(ours), "--data", f"{folder}/shop", "--demo"]
        plain = [sys.executable, "-m", "benchmarks._bare_page", f"{folder}/bare.sqlite3", str(bare)]
        loads: dict[str, list[Load]] = {"ours": [], "ours, while somebody saves": [], "bare": []}
        with server(serve, ours), server(plain, bare):
            for port, path in ((ours, BUSIEST), (bare, "/")):
                ask(port, path, 1.0)
            for _ in range(rounds):
                loads["ours"].append(ask(ours, BUSIEST, seconds))
                with somebody_saves(Path(folder) / "shop" / "shop.sqlite3"):
                    loads["ours, while somebody saves"].append(ask(ours, BUSIEST, seconds))
                loads["bare"].append(ask(bare, "/", seconds))
    for name, found in loads.items():
        rate, p95 = median(load.rate for load in found), median(load.p95 for load in found)
        print(f"{name:26} {rate:7.0f} pages/s, p95 {1000 * p95:6.1f} ms, {CLIENTS} clients")
    shares = {
        name: median(a.rate / b.rate for a, b in zip(loads[name], loads["bare"], strict=True))
        for name in ("ours", "ours, while somebody saves")
    }
    for name, share in shares.items():
        print(f"ratio of rates, {name} over the bare page: {share:.2f} (wanted: at least 0.5)")
    return min(shares.values())


@contextmanager
def somebody_saves(file: Path) -> Iterator[None]:
    """Commit a row once a second meanwhile, after which every page must be worked out anew."""
    stop = threading.Event()

    def save() -> None:
        with closing(sqlite3.connect(file, timeout=20)) as base:
            while not stop.wait(1.0):
                with base:
                    base.execute("INSERT INTO records_attempt (key, at) VALUES ('x', '2020-01-01')")

    saving = threading.Thread(target=save)
    saving.start()
    try:
        yield
    finally:
        stop.set()
        saving.join()


def fill(jobs: int) -> None:
    """That many jobs on a tenth as many machines, each with a version, straight into the tables."""
    from datetime import UTC, datetime, timedelta

    from snath.shop.records.derived import derive
    from snath.shop.records.models import Customer, JobRecord, JobVersion, MachineRecord

    start = datetime(2020, 1, 1, tzinfo=UTC)
    words = ("walk-behind", "rider", "tiller", "saw", "pump", "generator", "edger", "chipper")
    owners = [Customer(name=f"Orchard {n}", phone=f"555 {n:05}") for n in range(max(1, jobs // 20))]
    machines = [
        MachineRecord(name=f"{words[n % 8]} {n % 40}", serial=f"SN-{n:06}", customer=owners[n % len(owners)])
        for n in range(max(1, jobs // 10))
    ]
    records = [
        JobRecord(
            number=n + 1,
            machine=machines[n % len(machines)],
            customer=machines[n % len(machines)].customer,
            version=1,
            opened_at=start + timedelta(minutes=n),
            changed_at=start + timedelta(minutes=n),
            verdict=("pass", "fail", "undecided")[n % 3],
            waits_for=("", "reading", "part", "signature")[n % 4],
        )
        for n in range(jobs)
    ]
    versions = [
        JobVersion(
            sequence=n + 1, job=job, version=1, job_json="{}", result_json="{}", program="", who="", at=start,
            prev_hash="", hash="",
        )
        for n, job in enumerate(records)
    ]  # fmt: skip
    for model, made in (
        (Customer, owners),
        (MachineRecord, machines),
        (JobRecord, records),
        (JobVersion, versions),
    ):
        model._default_manager.bulk_create(made, batch_size=1000)
    derive("default")


def asks() -> dict[str, str]:
    """What somebody types or opens, by what it is."""
    from snath.shop.records.models import MachineRecord

    machine = MachineRecord.objects.order_by("serial")[50]
    return {
        "rare word": "/jobs/?q=SN-000050",
        "common word": "/jobs/?q=rider",
        "two common words": "/jobs/?q=orchard+walk",
        "one letter": "/jobs/?q=s",
        "list of jobs": "/jobs/",
        "the day": BUSIEST,
        "history of a machine": f"/shelf/machines/{machine.pk}/",
    }


def page_times(jobs: int) -> dict[str, float]:
    """Median processor seconds of each page in a shop of that size, in a process of its own."""
    code = (
        f"import json, sys; from benchmarks import web; print(json.dumps(web.timed_in_this_process({jobs})))"
    )
    done = subprocess.run([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True, check=True)
    found: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    return found


def timed_in_this_process(jobs: int) -> dict[str, float]:
    """Fill a shop and time its pages through the framework, without a network."""
    from snath.shop.site.data_folder import DataFolder
    from snath.shop.site.serve import bring_up_to_date, start_django

    with tempfile.TemporaryDirectory(prefix="snath-search-") as folder:
        start_django(DataFolder(Path(folder) / "shop"))
        bring_up_to_date()
        fill(jobs)
        from django.test import Client

        browser = Client(HTTP_HOST="localhost")
        return {what: _median_time(browser, path) for what, path in asks().items()}


def _median_time(browser: object, path: str) -> float:
    from snath.shop.site.ready_pages import forget

    times = []
    for _ in range(15):
        forget()  # every page is worked out anew here
        begun = time.process_time()  # of this process, which holds the database too: others do not disturb it
        answer = browser.get(path)  # type: ignore[attr-defined]
        assert answer.status_code == 200, (path, answer.status_code)
        times.append(time.process_time() - begun)
    return median(times[3:])


def search(jobs: int) -> float:
    """Print what each page costs in a small and a large shop; return the largest ratio."""
    small, large = page_times(SMALL_SHOP), page_times(jobs)
    print(f"{'':22} {SMALL_SHOP:>9,} jobs {jobs:>9,} jobs   ratio")
    for what in small:
        ratio = large[what] / small[what]
        print(f"{what:22} {1000 * small[what]:11.1f} ms {1000 * large[what]:11.1f} ms {ratio:7.2f}")
    return max(large[what] / small[what] for what in small)


def main() -> None:
    """Both, in full."""
    rates(ROUNDS, SECONDS)
    search(LARGE_SHOP)


def asked_for() -> None:
    """What the command line asks for."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--only", choices=("rates", "search"))
    asked.add_argument("--jobs", type=int, default=LARGE_SHOP)
    asked.add_argument("--rounds", type=int, default=ROUNDS)
    asked.add_argument("--seconds", type=float, default=SECONDS)
    given = asked.parse_args()
    if given.only != "search":
        rates(given.rounds, given.seconds)
    if given.only != "rates":
        search(given.jobs)


if __name__ == "__main__":
    asked_for()
