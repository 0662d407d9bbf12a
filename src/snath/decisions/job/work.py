"""The one door: a job in, its result out; pure, so that a job kept for years can be run again."""

from dataclasses import replace

from snath.decisions.behaviour.asked import ChecklistInput, StageName
from snath.decisions.behaviour.behaviour import governors, judge_behaviour
from snath.decisions.behaviour.checklist import ChecklistResult, checklist
from snath.decisions.behaviour.governor import GovernorResult
from snath.decisions.job.history import same_machine_found
from snath.decisions.job.job import SCHEMA, Job, Stage
from snath.decisions.job.program import PROGRAM
from snath.decisions.job.proof import bench_of
from snath.decisions.job.result import Result, StageResult
from snath.decisions.job.stands import held, held_window, whole
from snath.decisions.job.window_of import limits_for, notes_of, window_of
from snath.decisions.machine.parts import Machine
from snath.decisions.verdict.advice import advised
from snath.decisions.verdict.decide import judge
from snath.decisions.verdict.pools import Tools
from snath.decisions.verdict.settings import Setting, settings
from snath.decisions.verdict.verdict import Verdict
from snath.decisions.window.remedies import remedies
from snath.quantities.errors import InputError
from snath.quantities.message import Message


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
    _refuse_twins(job)
    checked = checklist(job.machine, job.behaviour.checklist or ChecklistInput())
    before = _as_found_machine(job)
    governed = governors(job.behaviour, job.rules)
    found = _stage(job, before, job.as_found, governed[0])
    left = _stage(job, job.machine, job.as_left, governed[1], before=same_machine_found(job, governed[0]))
    ways = remedies(
        job.machine,
        left.window,
        solve=lambda machine: window_of(job, machine, explained=False),
        confirm=lambda machine: _plain(replace(job, machine=machine)).window,
    )
    left = replace(left, window=replace(left.window, remedies=ways))
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
        stands=whole(checked, found=found.stands, left=left.stands, stop=behaviour.stop, outcome=job.outcome),
    )


def speed_alone(job: Job) -> Verdict | None:
    """What the readings as found say of the speed, for who asks of nothing else: no check is counted in."""
    _refuse_twins(job)
    return _stage(job, job.machine, job.as_found, None).stands


def _held(stage: StageResult, checked: ChecklistResult, name: StageName) -> StageResult:
    return replace(
        stage,
        window=held_window(stage.window, checked),
        verdicts=tuple(held(verdict, checked, name) for verdict in stage.verdicts),
        stands=None if stage.stands is None else held(stage.stands, checked, name),
    )


def _refuse_twins(job: Job) -> None:
    """Two instruments of one id: which of them a reading is by cannot be told."""
    ids = [instrument.id for instrument in job.instruments]
    for instrument in job.instruments:
        if ids.count(instrument.id) > 1:
            raise InputError("instrument", instrument.id, Message("checks.instrument-twins"))


def _plain(job: Job) -> Result:
    """The result without a search for remedies; what a remedy is confirmed with."""
    stage = _stage(job, job.machine, Stage(), None)
    return Result(SCHEMA, PROGRAM, stage.window, stage, stage)


def _stage(
    job: Job, machine: Machine, stage: Stage, governor: GovernorResult | None, *, before: Setting = ()
) -> StageResult:
    """What each reading says by itself, and what stands: the verdict on the last setting."""
    limits = limits_for(job, machine)
    for reading in stage.readings:
        _refuse_unknown(job, reading.instrument)

    rise = 0.0 if governor is None else governor.rise
    hunts = governor is not None and bool(governor.hunts)

    def judged(readings: Setting) -> Verdict:
        return judge(
            machine,
            limits,
            readings,
            tools=Tools(job.instruments, job.judged_on, job.strict),
            decision=job.decision,
            rise=rise,
            hunts=hunts,
        )

    def standing(readings: Setting) -> Verdict:
        bench = replace(bench_of(job), machine=machine, limits=limits, rise=rise, hunts=hunts)
        return advised(
            judged(readings),
            bench,
            readings,
            step=job.setting_step,
            aim=job.aim,
            aim_reason=job.aim_reason,
        )

    kept = settings(stage.readings, before=before) if stage.readings else ()
    return StageResult(
        window_of(job, machine),
        tuple(judged((reading,)) for reading in stage.readings),
        standing(kept[-1]) if kept and kept[-1] != before else None,
        turned=max(len(kept) - (1 if kept[:1] != (before,) else 2), 0),
        withdrawn=sum(reading.withdrawn is not None for reading in stage.readings),
    )


def _as_found_machine(job: Job) -> Machine:
    """The machine with the drive it came in with."""
    before = {coupling.driven: coupling for coupling in job.drive_before}
    couplings = tuple(before.get(coupling.driven, coupling) for coupling in job.machine.couplings)
    return replace(job.machine, couplings=couplings)


def _refuse_unknown(job: Job, wanted: str) -> None:
    if not wanted or any(one.id == wanted for one in job.instruments):
        return
    known = tuple(instrument.id for instrument in job.instruments)
    allowed = Message("job.instrument-known", known=known) if known else Message("job.instrument-none")
    raise InputError("instrument", wanted, allowed)
