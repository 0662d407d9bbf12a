"""Find what would open a window: other sheaves, belts and blades that can be bought."""

from dataclasses import replace

from snath.decisions.job.job import Job
from snath.decisions.job.window_of import window_alone, window_of
from snath.decisions.window.remedies import remedies
from snath.decisions.window.window import Window


def opened_window(job: Job) -> Window:
    """The window of the job's machine, with its working and the ways to open it."""
    return opened(job, window_alone(job, explained=True))


def opened(job: Job, window: Window) -> Window:
    """The window of the job's machine with the ways to open it."""
    ways = remedies(
        job.machine,
        window,
        solve=lambda machine: window_of(job, machine, explained=False),
        confirm=lambda machine: window_of(job, machine),
    )
    return replace(window, remedies=ways)
