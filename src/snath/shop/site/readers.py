"""Start the process that keeps the line of recordings, and start it again where it ends."""

import os
import signal
import subprocess
import sys
import threading
import time

READERS_VARIABLE = "SNATH_READERS"
AGAIN = 2.0  # s before a keeper that ended is started again


def usual_readers() -> int:
    """Recordings read at once: one processor is left for the pages."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return max(1, cores - 1)


def start_keeper() -> None:
    """Run the keeper of the line as long as this process runs; one that ends is replaced."""
    threading.Thread(target=_keep_one, name="line", daemon=True).start()


def _keep_one() -> None:
    command = [sys.executable, "-c", "from snath.shop.site.readers import main; main()"]
    alone = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
    while True:
        with subprocess.Popen(command, stdin=subprocess.PIPE, env=os.environ | alone) as keeper:
            keeper.wait()  # it ends when its standard input does, and that ends with this process
        time.sleep(AGAIN)


def main() -> None:
    """Keep the line until standard input ends."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl+C is for the bench, which takes this along
    over = threading.Event()

    def listen() -> None:
        sys.stdin.buffer.read()
        over.set()

    threading.Thread(target=listen, daemon=True).start()
    import django

    django.setup()
    from snath.shop.site.line_keeper import Keeper  # imports tables, which need a started framework

    Keeper(int(os.environ[READERS_VARIABLE])).run(over)
