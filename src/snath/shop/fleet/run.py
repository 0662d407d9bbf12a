"""A fleet worked through: the same rows on this machine and on dask."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from snath.shop.batch.spread import Spread, Where, dask, here
from snath.shop.fleet.machine import FleetMachine
from snath.shop.fleet.worked import Asked, Row, Task, lost, row_of

FEW = 40  # machines for which no other process is begun


@dataclass(frozen=True, slots=True)
class Counted:
    """How many machines there are, and how many of them are shut, ran over, are due, or could not be worked."""

    machines: int
    shut: int
    over: int
    due: int
    not_worked: int


def work_fleet(
    machines: Sequence[FleetMachine],
    asked: Asked,
    *,
    on: Where = "here",
    workers: int = 1,
    scheduler: str | None = None,
    tell: Callable[[int, int], None] | None = None,
) -> list[Row]:
    """The rows of the machines, in their order.

    Parameters
    ----------
    machines : sequence of FleetMachine
    asked : Asked
        By what they are worked.
    on : str
        "here" or "dask".
    workers : int
        Processes at once.
    scheduler : str or None
        Address of a dask scheduler; None starts a small cluster here.
    tell : callable or None
        Told how many of how many are done.

    Raises
    ------
    InputError
        Where no scheduler answers, or it is lost in the middle.
    """
    tasks = [Task(machine, asked) for machine in machines]
    at = {machine.place: place for place, machine in enumerate(machines)}
    rows: list[Row] = []
    work: Spread = here if on == "here" else partial(dask, scheduler=scheduler)
    alone = on == "here" and (workers == 1 or len(tasks) < FEW)
    for row in map(row_of, tasks) if alone else work(row_of, lost, tasks, workers):
        rows.append(row)
        if tell is not None:
            tell(len(rows), len(tasks))
    return sorted(rows, key=lambda row: at[row["place"]])


def counted(rows: Sequence[Row]) -> Counted:
    """The figures of a fleet."""
    return Counted(
        machines=len(rows),
        shut=sum(row["shut"] is True for row in rows),
        over=sum(row["over"] is True for row in rows),
        due=sum(row["due"] is True for row in rows),
        not_worked=sum(row["error"] is not None for row in rows),
    )
