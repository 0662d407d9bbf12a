"""How much memory does a command take, its children with it?"""

import os
import subprocess
import threading
import time
from pathlib import Path


def peak_of(command: list[str]) -> tuple[int, int]:
    """Most memory a command and its children held together, and the largest of them at its largest. [byte], [byte]"""
    with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as child:
        return _watched(child)


def _watched(child: "subprocess.Popen[bytes]") -> tuple[int, int]:
    most, stop = 0, threading.Event()

    def watch() -> None:
        nonlocal most
        while not stop.is_set():
            most = max(most, sum(_own_memory(pid) for pid in [child.pid, *_children(child.pid)]))
            time.sleep(0.05)

    watcher = threading.Thread(target=watch)
    watcher.start()
    _, status, used = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    stop.set()
    watcher.join()
    return most, used.ru_maxrss * 1024


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
