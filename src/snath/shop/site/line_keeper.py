"""Read what stands in the line, each recording in a process of its own, so that no page waits for one.

A process is forked from one that has loaded everything already: starting it costs little, and when it ends all its
memory is given back. A recording that brings its process down is tried once more and then given up with its reason.
"""

import json
import logging
import os
import secrets
import socket
import threading
import time
from dataclasses import dataclass, field
from multiprocessing import connection, forkserver, get_all_start_methods, get_context
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any

from django.db import DatabaseError, close_old_connections

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.media.alone import ANSWER, answer_of, read_alone
from snath.shop.media.decoder import SHORT
from snath.shop.media.told import fault_to_json
from snath.shop.records.held_clips import drop_unused, source_of
from snath.shop.records.line import claim, put_back, renew, settle, sweep
from snath.shop.records.recordings import RecordingAsk
from snath.shop.site.readers import AGAIN

POLL, RENEWED = 0.2, 5.0  # s between two looks at the line, and two renewals of a lease
SWEPT = 60.0  # s between two clearings
LOADED = ["snath.shop.media.alone"]
DOWN, GONE = Message("media.reader-down"), Message("media.gone")


@dataclass(slots=True)
class AtWork:
    """A recording being read: its row, its process, how far it is, and when that was written down."""

    row: RecordingAsk
    process: BaseProcess
    pipe: Connection
    told: float = field(default_factory=time.monotonic)
    far: tuple[float | None, float | None] = (None, None)


class Keeper:
    """Gives recordings to processes, renews their leases, and writes down what they say."""

    def __init__(self, most: int) -> None:
        self.most = most
        self.name = f"{socket.gethostname()[:40]} {os.getpid()} {secrets.token_hex(8)}"
        self.at_work: list[AtWork] = []
        forks = "forkserver" in get_all_start_methods()
        self.context: Any = get_context("forkserver" if forks else "spawn")
        if forks:
            self.context.set_forkserver_preload(LOADED)
            forkserver.ensure_running()  # it loads while nobody waits yet

    def run(self, over: threading.Event) -> None:
        """Go on until told that it is over; then nobody is left at work."""
        swept = -SWEPT
        try:
            while not over.is_set():
                try:
                    close_old_connections()
                    if time.monotonic() - swept > SWEPT:
                        swept = time.monotonic()
                        sweep()
                        drop_unused()
                    self.step()
                except (
                    DatabaseError,
                    OSError,
                ) as fault:  # busy, full or away: the line waits, nothing is lost
                    logging.getLogger("snath.line").warning("line of recordings: %s", fault, exc_info=fault)
                    over.wait(AGAIN)
        finally:
            for one in self.at_work:
                self._end(one)

    def step(self) -> None:
        """Take what is free, hear what is said, and renew leases; waits a moment where nothing happens."""
        while len(self.at_work) < self.most and (row := claim(self.name)) is not None:
            self._begin(row)
        if self.at_work:
            connection.wait([one.pipe for one in self.at_work], timeout=POLL)
        else:
            time.sleep(POLL)
        self.at_work = [one for one in self.at_work if self._goes_on(one)]

    def _begin(self, row: RecordingAsk) -> None:
        place = source_of(row.source)
        if place is None:
            settle(row, _fault(row, GONE))
            return
        ours, theirs = self.context.Pipe(duplex=False)
        process = self.context.Process(target=read_alone, args=(theirs, str(place), row.asked), daemon=True)
        process.start()
        theirs.close()
        self.at_work.append(AtWork(row, process, ours))

    def _goes_on(self, one: AtWork) -> bool:
        """Take what it has said; whether it is still at work."""
        try:
            while one.pipe.poll():
                said = one.pipe.recv_bytes()
                if said[:1] == ANSWER:
                    settle(one.row, said[1:].decode())
                    return self._end(one)
                done, whole = json.loads(said[1:])
                one.far = (done, whole)
        except (EOFError, ConnectionError):
            if not put_back(one.row):
                settle(one.row, _fault(one.row, DOWN))
            return self._end(one)
        if one.far != (one.row.done_s, one.row.of_s) or time.monotonic() - one.told > RENEWED:
            (one.row.done_s, one.row.of_s), one.told = one.far, time.monotonic()
            if not renew(one.row, done_s=one.far[0], of_s=one.far[1]):
                return self._end(one)  # another reader has it, or whoever asked is gone
        return True

    def _end(self, one: AtWork) -> bool:
        """Let its process go; False, because it is at work no more."""
        one.pipe.close()
        one.process.kill()
        one.process.join()
        return False


def read_here() -> None:
    """Read all that waits in this process: for where no readers are kept."""
    while (row := claim("here")) is not None:
        place = source_of(row.source)
        settle(row, _fault(row, GONE) if place is None else answer_of(str(place), row.asked))


def _fault(row: RecordingAsk, why: Message) -> str:
    return fault_to_json(InputError("recording", row.source[:SHORT], why))
