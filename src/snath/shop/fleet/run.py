"""Work a fleet through: the same rows on this machine and on dask."""

from collections.abc import Sequence
from dataclasses import dataclass

from snath.shop.batch.spread import Crew, Tell, counted_off
from snath.shop.fleet.machine import FleetMachine
from snath.shop.fleet.worked import Asked, Row, Task, lost, row_of

FEW = 40  # machines for which no other process is begun
ALONE = Crew(workers=1)


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
    crew: Crew = ALONE,
    *,
    tell: Tell | None = None,
) -> list[Row]:
    """The rows of the machines, in their order.

    Parameters
    ----------
    machines : sequence of FleetMachine
    asked : Asked
        By what they are worked.
    crew : Crew
        Who works them.
    tell : callable or None
        Told how many of how many are done.

    Raises
    ------
    InputError
        Where no scheduler answers, or it is lost in the middle.
    """
    tasks = [Task(machine, asked) for machine in machines]
    at = {machine.place: place for place, machine in enumerate(machines)}
    alone = crew.on == "here" and (crew.workers == 1 or len(tasks) < FEW)
    rows = map(row_of, tasks) if alone else crew.rows(row_of, lost, tasks)
    rows = counted_off(rows, tell, total=len(tasks))
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
