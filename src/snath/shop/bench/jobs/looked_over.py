"""Keep and show the one tick that answers what is looked at before a machine runs."""

from dataclasses import replace

from snath.decisions.behaviour.checklist import RUNS, ChecklistInput, StageName, When, checklist
from snath.decisions.job.job import Job
from snath.shop.bench.words import said


def with_tick(job: Job, stage: StageName) -> Job:
    """The job with its list before it runs answered for a stage."""
    given = job.behaviour.checklist or ChecklistInput()
    if stage in given.in_order:
        return job
    ticked = replace(given, in_order=(*given.in_order, stage))
    return replace(job, behaviour=replace(job.behaviour, checklist=ticked))


def looked_at(job: Job, when: When = RUNS) -> list[tuple[str, str]]:
    """Name and text of everything on one of the lists for this machine."""
    found = checklist(job.machine, job.behaviour.checklist or ChecklistInput())
    return [(said(i.check.name), said(i.check.text)) for i in found.items if i.check.when == when]
