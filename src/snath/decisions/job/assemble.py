"""Assemble a job from a machine and the rule book, with a copy of every row that speaks of the machine."""

from snath.decisions.job.job import Job
from snath.decisions.machine.parts import Machine
from snath.decisions.machine.rows import rows_to_judge_by
from snath.rules.book import Rule


def job_for(machine: Machine, book: tuple[Rule, ...], *, market: str = "", only: str | None = None) -> Job:
    """A job without readings.

    Parameters
    ----------
    machine : Machine
        The machine as it stands.
    book, market, only
        As in `rows_to_judge_by`.

    Raises
    ------
    InputError
        If the chosen row does not speak of this machine, with those that do.
    """
    rows = rows_to_judge_by(machine, book, market=market, only=only)
    return Job(machine=machine, rules=rows, market=market, only_rule=only or "")
