"""Work a job: a job in, its result out; pure, so that a job kept for years can be run again."""

from dataclasses import replace

from snath.decisions.behaviour.asked import ChecklistInput, StageName
from snath.decisions.behaviour.behaviour import governors, judge_behaviour
from snath.decisions.behaviour.checklist import ChecklistResult, checklist
from snath.decisions.behaviour.governor import GovernorResult
from snath.decisions.job.history import same_machine_found
from snath.decisions.job.job import SCHEMA, Job, Stage
from snath.decisions.job.opened import opened
from snath.decisions.job.program import PROGRAM
from snath.decisions.job.result import Result
from snath.decisions.job.stage import StageResult, refuse_twins, stage_result
from snath.decisions.job.stands import held_window, hold_verdict, whole
from snath.decisions.job.window_of import notes_of
from snath.decisions.machine.parts import Machine
from snath.decisions.verdict.settings import Setting, turned_since
from snath.quantities.message import Message

OTHER_DRIVE, TURNED_SINCE = Message("verdict.other-drive"), Message("verdict.turned-since")


def work(job: Job) -> Result:
    """Everything that can be told of a job: window, remedies, and the verdict of each stage.

    Parameters
    ----------
    job : Job
        As read from a sheet, a page or a record.

    Returns
    -------
    Result
        The same for the same job, byte for byte once written as JSON.

    Raises
    ------
    InputError
        If a reading names a shaft or instrument the job does not have.
    """
    refuse_twins(job)
    checked = checklist(job.machine, job.behaviour.checklist or ChecklistInput())
    before = _as_found_machine(job)
    governed = governors(job.behaviour, job.rules)
    found = _stage(job, before, job.as_found, governed[0])
    left = _stage(job, job.machine, job.as_left, governed[1], before=same_machine_found(job, governed[0]))
    left = replace(left, window=opened(job, left.window))
    as_found, as_left = _held(found, checked, "as found"), _held(left, checked, "as left")
    behaviour = judge_behaviour(
        job.behaviour,
        job.machine,
        job.rules,
        market=job.market,
        window=as_left.window,
        found=as_found.stands,
        left=as_left.stands,
        governed=governed,
        checked=checked,
    )
    return Result(
        schema=SCHEMA,
        program=PROGRAM,
        window=as_left.window,
        as_found=as_found,
        as_left=as_left,
        notes=tuple(notes_of(job)),
        behaviour=behaviour,
        stands=whole(
            checked,
            found=found.stands,
            left=left.stands,
            stop=behaviour.stop,
            outcome=job.outcome,
            since=_done_since(job, left),
        ),
    )


def _done_since(job: Job, left: StageResult) -> Message | None:
    """What was done to the machine after the readings that stand, if anything."""
    if left.stands is None and job.drive_before:
        return OTHER_DRIVE
    if left.stands is None and job.as_left.readings:
        return TURNED_SINCE  # all withdrawn, but as left they were taken after something was done
    counts = job.as_found if left.stands is None else job.as_left
    return TURNED_SINCE if turned_since(counts.readings) else None


def _stage(
    job: Job, machine: Machine, stage: Stage, governor: GovernorResult | None, *, before: Setting = ()
) -> StageResult:
    """What the readings of a stage say, with what its governor does counted in."""
    rise, hunts = (0.0, False) if governor is None else (governor.rise, bool(governor.hunts))
    return stage_result(job, machine, stage, before=before, rise=rise, hunts=hunts)


def _held(stage: StageResult, checked: ChecklistResult, name: StageName) -> StageResult:
    return replace(
        stage,
        window=held_window(stage.window, checked),
        verdicts=tuple(hold_verdict(verdict, checked, name) for verdict in stage.verdicts),
        stands=None if stage.stands is None else hold_verdict(stage.stands, checked, name),
    )


def _as_found_machine(job: Job) -> Machine:
    """The machine with the drive it came in with."""
    before = {coupling.driven: coupling for coupling in job.drive_before}
    couplings = tuple(before.get(coupling.driven, coupling) for coupling in job.machine.couplings)
    return replace(job.machine, couplings=couplings)
