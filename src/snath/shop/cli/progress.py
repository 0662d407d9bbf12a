"""Say on the standard error of a terminal how far long work has come; a file or a pipe gets nothing."""

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import click

EVERY = 0.25  # s


@contextmanager
def telling(what: str) -> Iterator[Callable[[int, int], None]]:
    """What to call with how many of how many are done: one line that is written over, and taken away at the end.

    Where nobody knows how many there are, the total is 0 and the line says how many are done.
    """
    shown, last = sys.stderr.isatty(), 0.0

    def tell(done: int, total: int) -> None:
        nonlocal last
        now = time.monotonic()
        if shown and (now - last > EVERY or done == total):
            last = now
            click.echo(f"\r{done} / {total} {what}" if total else f"\r{done} {what}", err=True, nl=False)

    try:
        yield tell
    finally:
        if shown and last:
            click.echo("\r\x1b[K", err=True, nl=False)
