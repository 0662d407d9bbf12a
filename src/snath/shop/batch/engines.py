"""Who does the work: a pool of processes on this machine, or a dask cluster. Both give the same rows."""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from importlib import import_module
from multiprocessing import get_context
from typing import Any, Literal, TypeVar

from snath.quantities.errors import InputError

EngineName = Literal["local", "dask"]
Row = dict[str, Any]
Task = TypeVar("Task")
Work = Callable[[Task], Row]
Engine = Callable[[Work[Any], Work[Any], Sequence[Any], int], Iterator[Row]]


def local(work: Work[Task], lost: Work[Task], tasks: Sequence[Task], workers: int) -> Iterator[Row]:
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
    """The same on a dask cluster, a small one of our own where no scheduler is named."""
    distributed: Any = import_module("distributed")  # an extra that few need
    if scheduler is not None:
        with _client(distributed.Client, scheduler) as client:
            yield from _spread(client, distributed.as_completed, work, lost, tasks)
        return
    with (
        distributed.LocalCluster(
            n_workers=workers, threads_per_worker=1, processes=True, dashboard_address=None
        ) as cluster,
        distributed.Client(cluster) as client,
    ):
        yield from _spread(client, distributed.as_completed, work, lost, tasks)


def _client(kind: Any, scheduler: str) -> Any:
    try:
        return kind(scheduler, timeout=10)
    except (OSError, ValueError, TimeoutError) as fault:
        raise InputError("scheduler", scheduler, f"cannot be reached ({fault})") from None


def _spread(
    client: Any, as_done: Any, work: Work[Task], lost: Work[Task], tasks: Sequence[Task]
) -> Iterator[Row]:
    futures = {client.submit(work, task, pure=False, retries=0): task for task in tasks}
    for done in as_done(list(futures)):
        task = futures[done]
        yield done.result() if done.status == "finished" else lost(task)
        done.release()
