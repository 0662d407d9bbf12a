"""The one door: a job in, its result out; pure, so that a job kept for years can be run again."""

from collections.abc import Iterator
from dataclasses import replace

from snath.decisions.behaviour.behaviour import governors, judge_behaviour
from snath.decisions.behaviour.governor import GovernorResult
from snath.decisions.job.job import SCHEMA, Job, Result, Stage, StageResult
from snath.decisions.job.program import PROGRAM
from snath.decisions.job.room import room_notes, room_of
from snath.decisions.machine.parts import Machine
from snath.decisions.machine.taken import taken_notes
from snath.decisions.reading.instruments import Instrument
from snath.decisions.verdict.combine import standing_verdict
from snath.decisions.verdict.decide import judge
from snath.decisions.window.limits import Limit, limits_of
from snath.decisions.window.remedies import remedies
from snath.decisions.window.solve import solve
from snath.decisions.window.window import Window
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
    before = _as_found_machine(job)
    governed = governors(job.behaviour, job.rules)
    found = _stage(job, before, _swinging(job.as_found, governed[0]))
    left = _stage(job, job.machine, _swinging(job.as_left, governed[1]))
    ways = remedies(
        job.machine,
        left.window,
        solve=lambda machine: _window(job, machine, explained=False),
        confirm=lambda machine: _plain(replace(job, machine=machine)).window,
    )
    window = replace(left.window, remedies=ways)
    return Result(
        schema=SCHEMA,
        program=PROGRAM,
        window=window,
        as_found=found,
        as_left=replace(left, window=window),
        notes=tuple(_notes(job)),
        behaviour=judge_behaviour(
            job.behaviour,
            job.machine,
            job.rules,
            market=job.market,
            window=window,
            found=found.stands,
            left=left.stands,
            governed=governed,
        ),
    )


def _swinging(stage: Stage, governor: GovernorResult | None) -> Stage:
    """The stage's readings as those of a hunting engine, where its track or any one of them shows it hunts.

    The track tells how far it swings; from one reading to another no swing is carried, only that it hunts.
    """
    tracked = governor is not None and governor.hunts
    if not tracked and all(reading.hunting is None for reading in stage.readings):
        return stage
    swing = governor.half_swing if governor is not None and tracked else 0.0
    readings = tuple(replace(r, hunting=max(r.hunting or 0.0, swing)) for r in stage.readings)
    return replace(stage, readings=readings)


def _plain(job: Job) -> Result:
    """The result without a search for remedies; what a remedy is confirmed with."""
    stage = _stage(job, job.machine, Stage())
    return Result(SCHEMA, PROGRAM, stage.window, stage, stage)


def _stage(job: Job, machine: Machine, stage: Stage) -> StageResult:
    limits = _limits(job, machine)
    verdicts = tuple(
        judge(
            machine,
            limits,
            reading,
            instrument=_instrument(job, reading.instrument),
            decision=job.decision,
            judged_on=job.judged_on,
        )
        for reading in stage.readings
    )
    return StageResult(_window(job, machine), verdicts, standing_verdict(verdicts, stage.readings))


def _limits(job: Job, machine: Machine) -> tuple[Limit, ...]:
    return limits_of(machine, job.rules, market=job.market, only=job.only_rule)


def _window(job: Job, machine: Machine, *, explained: bool = True) -> Window:
    return solve(
        machine,
        _limits(job, machine),
        decision=job.decision,
        room=room_of(job),
        decimal_mark=job.decimal_mark,
        explained=explained,
    )


def _as_found_machine(job: Job) -> Machine:
    """The machine with the drive it came in with."""
    before = {coupling.driven: coupling for coupling in job.drive_before}
    couplings = tuple(before.get(coupling.driven, coupling) for coupling in job.machine.couplings)
    return replace(job.machine, couplings=couplings)


def _instrument(job: Job, wanted: str) -> Instrument | None:
    if not wanted:
        return None
    for instrument in job.instruments:
        if instrument.id == wanted:
            return instrument
    known = tuple(instrument.id for instrument in job.instruments)
    allowed = Message("job.instrument-known", known=known) if known else Message("job.instrument-none")
    raise InputError("instrument", wanted, allowed)


def _notes(job: Job) -> Iterator[Message]:
    if job.only_rule:
        yield Message("job.chosen-row", rule=job.only_rule)
    elif not job.market:
        yield Message("job.no-market")
    for rule in job.rules:
        if rule.standing == "shop":
            if rule.overrides:
                yield Message("job.own-row-instead", rule=rule.id, overrides=rule.overrides)
            else:
                yield Message("job.own-row", rule=rule.id)
    yield from taken_notes(job.machine)
    yield from room_notes(job)
