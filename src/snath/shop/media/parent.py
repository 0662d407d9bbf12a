"""End with the process that began this one: killed, it cannot say so, and nobody else would end what it left."""

import multiprocessing
import os
import threading
from multiprocessing import connection

ORPHANED = 70  # the exit code of a process that lost its parent


def end_with_parent() -> None:
    """Watch the parent from now on, where `multiprocessing` began this process; on every system by an open pipe."""
    parent = multiprocessing.parent_process()
    if parent is None:
        return

    def watch() -> None:
        connection.wait([parent.sentinel])
        os._exit(ORPHANED)

    threading.Thread(target=watch, name="parent", daemon=True).start()
