"""Keep and show the one tick that answers what is looked at before a machine runs."""

from dataclasses import replace

from snath.decisions.behaviour.asked import ChecklistInput, Mark, StageName
from snath.decisions.behaviour.checklist import RUNS, When, checklist
from snath.decisions.job.job import Job
from snath.decisions.machine.parts import Machine
from snath.shop.bench.words import said

NOTHING = ChecklistInput()


def with_tick(job: Job, stage: StageName) -> Job:
    """The job with its list before it runs answered for a stage."""
    given = job.behaviour.checklist or ChecklistInput()
    if stage in given.in_order:
        return job
    ticked = replace(given, in_order=(*given.in_order, stage))
    return replace(job, behaviour=replace(job.behaviour, checklist=ticked))


def with_fault(job: Job, check: str, note: str) -> Job:
    """The job with a fault put down for one check; a fault that stands there already is left as it is."""
    given = job.behaviour.checklist or ChecklistInput()
    if any(mark.check == check and mark.state == "fault" and not mark.put_right for mark in given.marks):
        return job
    others = tuple(mark for mark in given.marks if mark.check != check)
    marked = replace(given, marks=(*others, Mark(check, "fault", note)))
    return replace(job, behaviour=replace(job.behaviour, checklist=marked))


def looked_at(job: Job, when: When = RUNS) -> list[tuple[str, str]]:
    """Name and text of everything on one of the lists for a job's machine."""
    return looked_over(job.machine, when, job.behaviour.checklist or ChecklistInput())


def looked_over(
    machine: Machine, when: When = RUNS, given: ChecklistInput = NOTHING
) -> list[tuple[str, str]]:
    """The same for any machine."""
    found = checklist(machine, given)
    return [(said(i.check.name), said(i.check.text)) for i in found.items if i.check.when == when]
