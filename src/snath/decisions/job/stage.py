"""Say what the readings of one stage say of this machine's speed, each alone and those of the last setting together."""

from dataclasses import dataclass, replace

from snath.decisions.job.job import Job, Stage
from snath.decisions.job.proof import bench_of
from snath.decisions.job.window_of import limits_for, window_of
from snath.decisions.machine.parts import Machine
from snath.decisions.verdict.advice import advised
from snath.decisions.verdict.decide import judge
from snath.decisions.verdict.pools import Tools
from snath.decisions.verdict.settings import Setting, settings
from snath.decisions.verdict.verdict import Verdict
from snath.decisions.window.window import Window
from snath.quantities.errors import InputError
from snath.quantities.message import Message


@dataclass(frozen=True, slots=True)
class StageResult:
    """What the readings of one stage say of this machine, its checks counted in.

    One verdict on each reading alone, and the one that stands, on the last setting. `turned` counts how often
    something was turned in between, `withdrawn` the readings that no longer count.
    """

    window: Window
    verdicts: tuple[Verdict, ...]
    stands: Verdict | None
    turned: int = 0
    withdrawn: int = 0


def speed_alone(job: Job) -> Verdict | None:
    """What the readings as found say of the speed, for who asks of nothing else: no check is counted in."""
    refuse_twins(job)
    return stage_result(job, job.machine, job.as_found).stands


def stage_result(
    job: Job, machine: Machine, stage: Stage, *, before: Setting = (), rise: float = 0.0, hunts: bool = False
) -> StageResult:
    """What each reading says by itself, and what stands: the verdict on the last setting."""
    limits = limits_for(job, machine)
    for reading in stage.readings:
        _refuse_unknown(job, reading.instrument)

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


def refuse_twins(job: Job) -> None:
    """Two instruments of one id: which of them a reading is by cannot be told."""
    ids = [instrument.id for instrument in job.instruments]
    for instrument in job.instruments:
        if ids.count(instrument.id) > 1:
            raise InputError("instrument", instrument.id, Message("checks.instrument-twins"))


def _refuse_unknown(job: Job, wanted: str) -> None:
    if not wanted or any(one.id == wanted for one in job.instruments):
        return
    known = tuple(instrument.id for instrument in job.instruments)
    allowed = Message("job.instrument-known", known=known) if known else Message("job.instrument-none")
    raise InputError("instrument", wanted, allowed)
