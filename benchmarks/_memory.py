"""How much memory does a command take, its children with it?

The system's largest resident set of a process (ru_maxrss) begins at that of whoever started it, so that a
launcher of a few megabytes stands between.
"""

import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

LAUNCHER = """
import resource, subprocess, sys
subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)
"""


def peak_of(command: list[str]) -> tuple[int, int]:
    """Most memory a command and its children held together, and the largest of them at its largest. [byte], [byte]"""
    launched = [sys.executable, "-I", "-S", "-c", LAUNCHER, *command]
    most, stop = 0, threading.Event()
    with subprocess.Popen(launched, stdout=subprocess.PIPE) as child:

        def watch() -> None:
            nonlocal most
            while not stop.is_set():
                most = max(most, sum(_own_memory(pid) for pid in _descendants(child.pid)))
                time.sleep(0.05)

        watcher = threading.Thread(target=watch)
        watcher.start()
        said, _ = child.communicate()
        stop.set()
        watcher.join()
    return most, int(said) * 1024


def _descendants(pid: int) -> Iterator[int]:
    for child in _children(pid):
        yield child
        yield from _descendants(child)


def _children(pid: int) -> list[int]:
    try:
        return [int(c) for c in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]
    except OSError:
        return []


def _own_memory(pid: int) -> int:
    """Proportional set size. [byte]"""
    try:
        for line in Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines():
            if line.startswith("Pss:"):
                return int(line.split()[1]) * 1024
    except OSError:
        pass
    return 0
