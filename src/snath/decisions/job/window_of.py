"""Work the window of a job's machine, and tell what to know of how it was judged."""

from collections.abc import Iterator

from snath.decisions.job.job import Job
from snath.decisions.job.setting_needs import setting_needs, setting_notes
from snath.decisions.machine.parts import Machine
from snath.decisions.machine.rows import rows_told
from snath.decisions.machine.taken import taken_notes
from snath.decisions.window.limits import Limit, limits_of
from snath.decisions.window.solve import solve
from snath.decisions.window.window import Window
from snath.quantities.message import Message


def window_alone(job: Job, *, explained: bool = False) -> Window:
    """The window of the job's machine without ways to open it, for who asks of nothing else; its working if wanted."""
    return window_of(job, job.machine, explained=explained)


def limits_for(job: Job, machine: Machine) -> tuple[Limit, ...]:
    """Every limit of a machine by the rows of a job."""
    return limits_of(machine, job.rules, market=job.market, only=job.only_rule)


def window_of(job: Job, machine: Machine, *, explained: bool = True) -> Window:
    """The window of a machine under the rows and instruments of a job, without ways to open it."""
    return solve(
        machine,
        limits_for(job, machine),
        decision=job.decision,
        needs=setting_needs(job),
        explained=explained,
    )


def notes_of(job: Job) -> Iterator[Message]:
    """What to know of how the job was judged: a row chosen, no market, the shop's own rows, what was assumed."""
    yield from rows_told(job.rules, market=job.market, only=job.only_rule)
    yield from taken_notes(job.machine)
    yield from setting_notes(job)
