"""What does another page cost while others send slowly and films are read, and do job pages keep up with a bare one?

    python -m benchmarks.fire                     all of it
    python -m benchmarks.fire --only pages        four job pages and one who saves, beside a bare page
    python -m benchmarks.fire --only long         the same for ten minutes, and whether memory stays flat
    python -m benchmarks.fire --only held         8 slow uploads with 8 films; 8 sockets of a byte in two seconds

All servers are asked from this machine in the same run; where it is busy with other work, only the ratios and the
processor time are good for anything. A bare page is the framework with one row, in the same
server program (`_bare_page`).
"""

import argparse
import os
import re
import resource
import sys
import tempfile
import threading
import time
from collections import defaultdict
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass, field
from http.client import HTTPConnection
from pathlib import Path
from socket import create_connection
from statistics import quantiles

import numpy as np

from benchmarks.simulator.files import film_file
from benchmarks.web import SNATH, Load, free_port, server

JOB_PAGES = ("/jobs/3/window/", "/jobs/3/reading/", "/jobs/3/verdict/", "/jobs/3/sheet/")
SAVED = "/jobs/5/sheet/"
HELD = 8
RESTED = 15.0  # s without more memory
CLIENTS = (32, 128)
SECONDS, LONG = 15.0, 600.0
SILENT = 1500
SLOW = 250_000  # bytes/s of a slow phone
BARE = "the bare page"
IDLE = 3.0  # s after which a line is not used again
ASKED = 0.1  # s between two askings of the other page
PAGE, TICKS = os.sysconf("SC_PAGE_SIZE"), os.sysconf("SC_CLK_TCK")


class Browser:
    """A client with kept connection and cookies."""

    def __init__(self, port: int) -> None:
        self.port, self.cookies = port, dict[str, str]()
        self.line = HTTPConnection("127.0.0.1", port, timeout=120)
        self.used = time.monotonic()

    def ask(self, method: str, path: str, body: bytes | None = None, kind: str = "") -> tuple[int, str, str]:
        """Status, where it leads, and the text of one answer."""
        base = f"localhost:{self.port}"
        headers = {"Host": base, "Origin": f"http://{base}", **({"Content-Type": kind} if kind else {})}
        headers |= {"Cookie": "; ".join(f"{k}={v}" for k, v in self.cookies.items())} if self.cookies else {}
        if method == "POST" or time.monotonic() - self.used > IDLE:
            self.line.close()  # one kept for long may have been closed by the server
        self.line.request(method, path, body, headers)
        answer = self.line.getresponse()
        for given in answer.headers.get_all("Set-Cookie") or ():
            name, _, value = given.split(";")[0].partition("=")
            self.cookies[name] = value
        said = answer.read().decode("utf-8", "replace")
        self.used = time.monotonic()
        return answer.status, answer.headers.get("Location", ""), said

    def token(self, path: str) -> tuple[str, str]:
        """The token and the version a form on that page sends back."""
        page = self.ask("GET", path)[2]
        found = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', page)
        base = re.search(r'name="base" value="([0-9]+)"', page)
        return found.group(1) if found else "", base.group(1) if base else ""


def load(port: int, paths: tuple[str, ...], clients: int, seconds: float) -> Load:
    """Let that many clients ask for these pages in turn as fast as they get them."""
    times: list[float] = []
    end = time.monotonic() + seconds

    def client(number: int) -> None:
        browser = Browser(port)
        while (begun := time.monotonic()) < end:
            status, _, _ = browser.ask("GET", paths[number % len(paths)])
            assert status == 200, status
            times.append(time.monotonic() - begun)
            number += 1

    threads = [threading.Thread(target=client, args=(number,)) for number in range(clients)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    return Load(len(times) / seconds, quantiles(times, n=20)[-1])


@contextmanager
def one_saves(port: int) -> Iterator[list[int]]:
    """Somebody who saves a job's sheet again and again meanwhile."""
    stop, saved = threading.Event(), [0]

    def save() -> None:
        browser = Browser(port)
        while not stop.wait(0.2):
            token, base = browser.token(SAVED)
            body = f"csrfmiddlewaretoken={token}&base={base}&note=saved+{saved[0]}&outcome="
            status, _, _ = browser.ask("POST", SAVED, body.encode(), "application/x-www-form-urlencoded")
            saved[0] += status == 302

    saving = threading.Thread(target=save)
    saving.start()
    try:
        yield saved
    finally:
        stop.set()
        saving.join()


@contextmanager
def both(folder: str) -> Iterator[tuple[int, int]]:
    """The bench with its invented shop, and the bare page; their ports."""
    ours, bare = free_port(), free_port()
    serve = [*SNATH, "serve", "--demo", "--port", str(ours), "--data", f"{folder}/shop"]
    plain = [sys.executable, "-m", "benchmarks._bare_page", f"{folder}/bare.sqlite3", str(bare)]
    with server(serve, ours), server(plain, bare):
        yield ours, bare


@dataclass(frozen=True, slots=True)
class Cost:
    """How a server kept up, and its processor time a page. [s]"""

    load: Load
    processor: float

    def __str__(self) -> str:
        rate, p95 = f"{self.load.rate:6.0f} pages/s", f"p95 {1000 * self.load.p95:5.0f} ms"
        return f"{rate}, {p95}, {1000 * self.processor:.2f} ms of processor a page"


def cost(port: int, paths: tuple[str, ...], clients: int, seconds: float) -> Cost:
    """The same load, and what it cost; somebody's saves meanwhile count among the pages' cost."""
    before = processor_of(port)
    found = load(port, paths, clients, seconds)
    return Cost(found, (processor_of(port) - before) / max(found.rate * seconds, 1))


def piece(ours: int, bare: int, clients: int, seconds: float) -> Cost:
    """Print what four job pages cost while one saves, and the bare page after them for a third of the time."""
    with one_saves(ours) as saved:
        found = cost(ours, JOB_PAGES, clients, seconds)
    beside = cost(bare, ("/",), clients, max(seconds / 3, 1.0))
    print(f"{clients:4} clients: four job pages {found}, {saved[0]} saves")
    print(f"              the bare page  {beside}")
    rates, costs = found.load.rate / beside.load.rate, found.processor / beside.processor
    print(f"              ratio of rates {rates:.2f}, of processor time {costs:.1f}", flush=True)
    return found


def pages(seconds: float) -> None:
    """Print what four job pages cost beside the bare page while one saves."""
    with tempfile.TemporaryDirectory(prefix="snath-fire-") as folder, both(folder) as (ours, bare):
        warm(ours, bare)
        for clients in CLIENTS:
            piece(ours, bare, clients, seconds)


def warm(ours: int, bare: int) -> None:
    """What is loaded once is loaded."""
    load(ours, JOB_PAGES, 4, 3.0)
    load(bare, ("/",), 4, 1.0)


def at_rest(port: int) -> float:
    """Memory once it stands: readers of recordings come up a while after the pages, giving way to everything. [MB]"""
    before, now = 0.0, memory_of(port)
    while abs(now - before) > 0.01 * now:
        time.sleep(RESTED)
        before, now = now, memory_of(port)
    return now


def long(seconds: float, pieces: int = 10) -> None:
    """The same for ten minutes, 32 and 128 clients in turn, and whether memory stays as it was."""
    with tempfile.TemporaryDirectory(prefix="snath-fire-") as folder, both(folder) as (ours, bare):
        warm(ours, bare)
        memory = [at_rest(ours)]
        for number in range(pieces):
            piece(ours, bare, CLIENTS[number % len(CLIENTS)], seconds / pieces)
            memory.append(memory_of(ours))
            print(f"              memory {memory[-1]:.0f} MB", flush=True)
    start, middle, end = memory[0], memory[pieces // 2], memory[-1]
    print(f"memory at the start {start:.0f} MB, in the middle {middle:.0f}, at the end {end:.0f}")
    print(f"end to start {end / start:.3f}, end to middle {end / middle:.3f}")


def a_film(number: float) -> bytes:
    """Four seconds in which a dot goes round, each number at a speed of its own."""
    t = np.arange(120) / 30
    yy, xx = np.mgrid[0:240, 0:320]

    def pictures() -> Iterator[np.ndarray]:
        for turn in 2 * np.pi * (40 + number) * t:
            picture = np.full((240, 320), 60, np.uint8)
            picture[(yy - 120 - 60 * np.sin(turn)) ** 2 + (xx - 160 - 60 * np.cos(turn)) ** 2 < 575] = 220
            yield picture

    return film_file(pictures(), t, size=(240, 320))


def multipart(token: str, film: bytes) -> tuple[bytes, str]:
    """The form of a clip."""
    edge = "edge-of-a-part"
    head = f'--{edge}\r\nContent-Disposition: form-data; name="csrfmiddlewaretoken"\r\n\r\n{token}\r\n'
    head += f'--{edge}\r\nContent-Disposition: form-data; name="marks"\r\n\r\n1\r\n'
    head += f'--{edge}\r\nContent-Disposition: form-data; name="clip"; filename="f.mp4"\r\n\r\n'
    return head.encode() + film + f"\r\n--{edge}--\r\n".encode(), f"multipart/form-data; boundary={edge}"


def slow_upload(port: int, stop: threading.Event) -> None:
    """A phone that sends 60 MB at its rate until it is told to stop."""
    head = f"POST /measure/ HTTP/1.1\r\nHost: localhost:{port}\r\nContent-Length: 60000000\r\n\r\n"
    with create_connection(("127.0.0.1", port)) as line, suppress(OSError):
        line.sendall(head.encode())
        while not stop.wait(0.1):
            line.sendall(b"x" * (SLOW // 10))


def drops(port: int, cookie: str, stop: threading.Event) -> None:
    """A socket that sends a byte in two seconds, again from the beginning where it is given up."""
    head = f"POST /login/ HTTP/1.1\r\nHost: localhost:{port}\r\n{cookie}Content-Length: 900\r\n\r\n"
    while not stop.is_set():
        with create_connection(("127.0.0.1", port)) as line, suppress(OSError):
            line.sendall(head.encode())
            while not stop.wait(2.0):
                line.sendall(b"x")


@contextmanager
def silent(port: int) -> Iterator[None]:
    """Lines that are there and say nothing, more than the server has places for by its own default (1,024)."""
    resource.setrlimit(resource.RLIMIT_NOFILE, (2 * SILENT, resource.getrlimit(resource.RLIMIT_NOFILE)[1]))
    with ExitStack() as lines:
        for _ in range(SILENT):
            lines.enter_context(create_connection(("127.0.0.1", port)))
        yield


def another_page(port: int, seconds: float, path: str = "/today/") -> list[float]:
    """How long each answer took of a page asked ten times a second. [s]"""
    browser, times, end = Browser(port), [], time.monotonic() + seconds
    while time.monotonic() < end:
        begun = time.monotonic()
        assert browser.ask("GET", path)[0] == 200
        times.append(time.monotonic() - begun)
        time.sleep(ASKED)
    return times


@dataclass(frozen=True, slots=True)
class Process:
    """What the system tells of a process: who began it, its resident memory [MB], its processor time [s]."""

    parent: int
    memory: float
    processor: float


def family(port: int) -> list[Process]:
    """The server of that port and all it has begun."""
    found: dict[int, Process] = {}
    ours: set[int] = set()
    for folder in Path("/proc").glob("[0-9]*"):
        with suppress(OSError, IndexError, ValueError):
            number, state = int(folder.name), (folder / "stat").read_text().rpartition(")")[2].split()
            pages = int((folder / "statm").read_text().split()[1])
            ticks = int(state[11]) + int(state[12])
            found[number] = Process(int(state[1]), pages * PAGE / 1e6, ticks / TICKS)
            if str(port).encode() in (folder / "cmdline").read_bytes().split(b"\0"):
                ours.add(number)
    while more := {n for n, one in found.items() if one.parent in ours and n not in ours}:
        ours |= more
    return [found[number] for number in ours]


def memory_of(port: int) -> float:
    """Resident memory of the server and all it has begun. [MB]"""
    return sum(one.memory for one in family(port))


def processor_of(port: int) -> float:
    """Processor time of the server and all it has begun so far. [s]"""
    return sum(one.processor for one in family(port))


@dataclass
class Rows:
    """What another page cost while this or that went on, over all rounds. [s]"""

    times: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))

    def ask(self, what: str, ours: int, bare: int, seconds: float) -> None:
        """Ask the page of ours for so long, and the bare one for a third of it."""
        self.times[what] += another_page(ours, seconds)
        self.times[BARE] += another_page(bare, seconds / 3, "/")

    def tell(self) -> None:
        """Print a line for each, the other page alone first."""
        for what, times in self.times.items():
            cuts = [1000 * cut for cut in quantiles(times, n=100)]
            print(f"{what:45} p50 {cuts[49]:5.0f} ms, p99 {cuts[98]:5.0f} ms of {len(times)}", flush=True)


def held(seconds: float, rounds: int) -> None:
    """Print what another page costs while others hold what they can; each round asks it alone as well."""
    films, rows = [a_film(number) for number in range(HELD * rounds)], Rows()
    with tempfile.TemporaryDirectory(prefix="snath-fire-") as folder, both(folder) as (ours, bare):
        browser = Browser(ours)
        warm = multipart(browser.token("/measure/")[0], a_film(0.5))  # like no other: an answer is kept
        read_all(browser, [browser.ask("POST", "/measure/", *warm)[1]])  # what is loaded once is no leak
        before = memory_of(ours)
        for number in range(rounds):
            rows.ask("alone", ours, bare, seconds)
            with many(lambda stop: slow_upload(ours, stop)):
                lines = []
                for film in films[HELD * number : HELD * (number + 1)]:
                    body, kind = multipart(browser.token("/measure/")[0], film)
                    status, line, said = browser.ask("POST", "/measure/", body, kind)
                    assert status == 302, said[:200]
                    lines.append(line)
                rows.ask(f"{HELD} slow uploads, {HELD} films", ours, bare, seconds)
                most = memory_of(ours)
                read_all(browser, lines)
            time.sleep(5.0)
            after = memory_of(ours)
            sizes = f"before {before:.0f} MB, meanwhile {most:.0f}, after {after:.0f}"
            print(f"memory {sizes}: {after / before:.2f} of before", flush=True)
            session = "".join(f"Cookie: {k}={v}\r\n" for k, v in browser.cookies.items())
            for name, cookie in (("without a session", ""), ("with one", session)):
                with many(lambda stop, cookie=cookie: drops(ours, cookie, stop)):  # type: ignore[misc]
                    rows.ask(f"{HELD} sockets, a byte in 2 s, {name}", ours, bare, seconds)
            with silent(ours):
                rows.ask(f"{SILENT} lines that say nothing", ours, bare, seconds)
    rows.tell()


@contextmanager
def many(work: object) -> Iterator[None]:
    """Eight at once, until it is over."""
    stop = threading.Event()
    threads = [threading.Thread(target=work, args=(stop,), daemon=True) for _ in range(HELD)]  # type: ignore[arg-type]
    for one in threads:
        one.start()
    with ExitStack() as over:
        over.callback(lambda: [one.join(10) for one in threads])
        over.callback(stop.set)
        time.sleep(1.0)
        yield


def read_all(browser: Browser, lines: list[str]) -> None:
    """Wait until every recording of these lines has been read; they show themselves to whoever asked only."""
    end = time.monotonic() + 900  # readers give way to everything, and this machine may be busy
    for line in lines:
        while "data-send-again" not in browser.ask("GET", line)[2]:
            assert time.monotonic() < end, "the line stands still"
            time.sleep(0.3)


def main() -> None:
    """What the command line asks for."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--only", choices=("pages", "long", "held"))
    asked.add_argument("--seconds", type=float, help="[default: 15, of all that is long 600]")
    asked.add_argument("--rounds", type=int, default=3, help="of what is held, each beside the page alone")
    given = asked.parse_args()
    if given.only in (None, "pages"):
        pages(given.seconds or SECONDS)
    if given.only in (None, "held"):
        held(given.seconds or SECONDS, given.rounds)
    if given.only in (None, "long"):
        long(given.seconds or LONG)


if __name__ == "__main__":
    main()
