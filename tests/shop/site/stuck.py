"""A reader that never comes to an end: python -m tests.shop.site.stuck says its own and its reader's number."""

import os
import threading
from multiprocessing import get_context

from snath.shop.media import alone


def read(pipe: object) -> None:
    """Read a recording for ever."""
    alone.answer_of = lambda *_: threading.Event().wait()  # type: ignore[assignment]
    alone.read_alone(pipe, "", "")  # type: ignore[arg-type]


def main() -> None:
    """Begin one as the line does, and wait with it."""
    context = get_context("forkserver")
    ours, theirs = context.Pipe(duplex=False)
    process = context.Process(target=read, args=(theirs,), daemon=True)
    process.start()
    print(os.getpid(), process.pid, flush=True)
    ours.recv_bytes()


if __name__ == "__main__":
    main()
