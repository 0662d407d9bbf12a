"""Who does the work: a pool of processes on this machine, or a dask cluster. Both give the same rows."""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from importlib import import_module
from multiprocessing import get_context
from typing import Any

from snath.quantities.errors import InputError
from snath.shop.batch.row import Row, Task, lost, row_of

Engine = Callable[[Sequence[Task], int], Iterator[Row]]


def local(tasks: Sequence[Task], workers: int) -> Iterator[Row]:
    """Rows as they are done; a file that brings a worker down is tried once more alone, then reported."""
    left = list(tasks)
    try:
        with _pool(workers) as pool:
            waiting: dict[Future[Row], Task] = {pool.submit(row_of, task): task for task in left}
            for done in as_completed(waiting):
                row = done.result()
                left.remove(waiting[done])
                yield row
    except BrokenProcessPool:
        for task in left:
            yield _alone(task)


def _alone(task: Task) -> Row:
    try:
        with _pool(1) as pool:
            return pool.submit(row_of, task).result()
    except BrokenProcessPool:
        return lost(task)


def _pool(workers: int) -> ProcessPoolExecutor:
    # A forked child would inherit the parent's threads' locks.
    return ProcessPoolExecutor(workers, mp_context=get_context("spawn"))


def dask(tasks: Sequence[Task], workers: int, *, scheduler: str | None = None) -> Iterator[Row]:
    """The same on a dask cluster, a small one of our own where no scheduler is named."""
    distributed: Any = import_module("distributed")  # an extra that few need
    if scheduler is not None:
        with _client(distributed.Client, scheduler) as client:
            yield from _spread(client, distributed.as_completed, tasks)
        return
    with (
        distributed.LocalCluster(
            n_workers=workers, threads_per_worker=1, processes=True, dashboard_address=None
        ) as cluster,
        distributed.Client(cluster) as client,
    ):
        yield from _spread(client, distributed.as_completed, tasks)


def _client(kind: Any, scheduler: str) -> Any:
    try:
        return kind(scheduler, timeout=10)
    except (OSError, ValueError, TimeoutError) as fault:
        raise InputError("scheduler", scheduler, f"cannot be reached ({fault})") from None


def _spread(client: Any, as_done: Any, tasks: Sequence[Task]) -> Iterator[Row]:
    futures = {client.submit(row_of, task, pure=False, retries=0): task for task in tasks}
    for done in as_done(list(futures)):
        task = futures[done]
        yield done.result() if done.status == "finished" else lost(task)
        done.release()
