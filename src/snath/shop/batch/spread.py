"""Who does the work: a pool of processes on this machine, or a dask cluster. Both give the same rows."""

import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from functools import partial
from importlib import import_module
from itertools import islice
from logging import CRITICAL, getLogger
from multiprocessing import get_context
from typing import Any, Literal, TypeVar

from snath.quantities.errors import InputError
from snath.quantities.message import Message

ANSWERS_WITHIN = 10  # s in which a scheduler answers
AT_ONCE = 256  # tasks a cluster is asked for at once
LOOKED = 0.02  # s between two looks for what is done
GONE = Message("batch.scheduler-gone")

Where = Literal["here", "dask"]
Row = dict[str, Any]
Task = TypeVar("Task")
Work = Callable[[Task], Row]
Spread = Callable[[Work[Any], Work[Any], Sequence[Any], int], Iterator[Row]]
Tell = Callable[[int, int], None]  # told how many of how many are done


class LostError(InputError):
    """Whoever did the work is gone in the middle of it."""


@dataclass(frozen=True, slots=True)
class Crew:
    """Who does the work, and how many at once.

    Attributes
    ----------
    on : str
        "here", processes of this machine, or "dask".
    workers : int
        Processes at once.
    scheduler : str or None
        Address of a dask scheduler; None starts a small cluster here.
    """

    on: Where = "here"
    workers: int = 2
    scheduler: str | None = None

    def rows(self, work: Work[Task], lost: Work[Task], tasks: Sequence[Task]) -> Iterator[Row]:
        """Rows as they are done; that of a task which brings its worker down is told by `lost`.

        Raises
        ------
        InputError
            Where no scheduler answers.
        LostError
            Where it is lost in the middle; the rows given before stand.
        """
        spread: Spread = here if self.on == "here" else partial(dask, scheduler=self.scheduler)
        return spread(work, lost, tasks, self.workers) if tasks else iter(())


def counted_off(rows: Iterable[Row], tell: Tell | None, *, total: int, before: int = 0) -> Iterator[Row]:
    """The same rows, and somebody told after each how many of the total are done, `before` of them earlier."""
    for done, row in enumerate(rows, before + 1):
        yield row
        if tell is not None:
            tell(done, total)


def here(work: Work[Task], lost: Work[Task], tasks: Sequence[Task], workers: int) -> Iterator[Row]:
    """Rows as they are done; what a worker held when it went down is tried once more alone, then reported by `lost`."""
    left = dict(enumerate(tasks))
    while left:
        try:
            with _pool(workers) as pool:
                waiting: dict[Future[Row], int] = {pool.submit(work, task): at for at, task in left.items()}
                for done in as_completed(waiting):
                    row = done.result()
                    del left[waiting[done]]
                    yield row
        except BrokenProcessPool:
            # The pool hands out in order, one a worker and as many and one beforehand: one of these brought it down.
            for at in list(left)[: 2 * workers + 1]:
                yield _alone(work, lost, left.pop(at))


def _alone(work: Work[Task], lost: Work[Task], task: Task) -> Row:
    try:
        with _pool(1) as pool:
            return pool.submit(work, task).result()
    except BrokenProcessPool:
        return lost(task)


def _pool(workers: int) -> ProcessPoolExecutor:
    # A forked child would inherit the parent's threads' locks.
    return ProcessPoolExecutor(workers, mp_context=get_context("spawn"))


def dask(
    work: Work[Task],
    lost: Work[Task],
    tasks: Sequence[Task],
    workers: int,
    *,
    scheduler: str | None = None,
) -> Iterator[Row]:
    """The same on a dask cluster, a small one of our own where no scheduler is named.

    Raises
    ------
    InputError
        Where no scheduler answers at that address.
    LostError
        Where it is lost in the middle; the rows given before stand.
    """
    distributed: Any = import_module("distributed")  # an extra that few need
    for talker in ("distributed", "distributed.client"):
        getLogger(talker).setLevel(CRITICAL)  # what of it matters stands in the rows, and in what is raised
    if scheduler is not None:
        with _client(distributed.Client, scheduler) as client:
            yield from _spread(client, distributed.as_completed, work, lost, tasks)
        return
    with (
        distributed.LocalCluster(
            n_workers=workers,
            threads_per_worker=1,
            processes=True,
            dashboard_address="127.0.0.1:0",  # left to dask, it listens to the whole network on one fixed port
            silence_logs=CRITICAL,
        ) as cluster,
        distributed.Client(cluster) as client,
    ):
        yield from _spread(client, distributed.as_completed, work, lost, tasks)


def _client(kind: Any, scheduler: str) -> Any:
    try:
        return kind(scheduler, timeout=ANSWERS_WITHIN)
    except Exception as fault:  # another program that listens there may answer anything
        said = (str(fault) or type(fault).__name__).splitlines()[0][:200]
        raise InputError("scheduler", scheduler, Message("batch.scheduler", why=said)) from None


def _spread(
    client: Any, as_done: Any, work: Work[Task], lost: Work[Task], tasks: Sequence[Task]
) -> Iterator[Row]:
    """Rows as they are done; only so many are asked for at once, so that memory stays flat however many there are."""
    left, waiting = iter(tasks), as_done()
    asked: dict[Any, Task] = {}
    while True:
        for task in islice(left, AT_ONCE - len(asked)):
            future = client.submit(work, task, pure=False, retries=0)
            asked[future] = task
            waiting.add(future)
        if not asked:
            return
        done = _next(waiting, client)
        yield _row(done, client, lost, asked.pop(done))
        done.release()


def _next(waiting: Any, client: Any) -> Any:
    """The next that is done; LostError where nobody is there any more who could say so."""
    while not waiting.has_ready():
        if client.status != "running":
            raise LostError("scheduler", client.status, GONE)
        time.sleep(LOOKED)
    return next(waiting)


def _row(done: Any, client: Any, lost: Work[Task], task: Task) -> Row:
    """The row of a task; where it went down with the worker that had it ready, it is waited for once more."""
    while True:
        try:
            row: Row = done.result(timeout=ANSWERS_WITHIN)
        except Exception as fault:
            if done.status == "error":
                return lost(task)  # it brought its worker down
            if client.status != "running" or not isinstance(fault, TimeoutError):
                raise LostError("scheduler", type(fault).__name__, GONE) from None
        else:
            return row
