"""Answer a whole job: its one word, its window, the verdicts of both stages, and what the machine does besides."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass, field
from typing import Any

from snath.decisions.behaviour.asked import StageName
from snath.decisions.behaviour.behaviour import BehaviourResult
from snath.decisions.job.history import Told, histories
from snath.decisions.job.job import Job
from snath.decisions.job.result import Result
from snath.decisions.job.schema import rounded
from snath.decisions.job.stage import StageResult
from snath.decisions.job.stands import By
from snath.decisions.machine.condition_words import bladed, condition_word
from snath.decisions.machine.parts import Machine
from snath.decisions.verdict.verdict import Stands
from snath.shop.answers.facts import Fact, facts
from snath.shop.answers.speeds import tenth_rpm
from snath.shop.answers.verdict import verdict_answer
from snath.shop.answers.verdict_types import VerdictAnswer
from snath.shop.answers.window import window_answer
from snath.shop.answers.window_types import WindowAnswer
from snath.words.render import Locale, say


@dataclass(frozen=True)
class WithdrawnAnswer:
    """A reading that no longer counts.

    Attributes
    ----------
    reason, by : str
        Why, and who says so.
    at : str or None
        When (ISO 8601).
    """

    reason: str
    by: str
    at: str | None


@dataclass(frozen=True)
class ToldAnswer:
    """One reading of a stage, where it belongs and what it says by itself.

    Attributes
    ----------
    rpm : float or None
        At its shaft; None where it decided nothing. [rpm]
    shaft, condition : str
        Where, and while what.
    instrument, at : str or None
        With what, and when (ISO 8601).
    setting : int or None
        Which setting it belongs to, from 1.
    stands : bool
        Whether that is the one that counts.
    turned : str or None
        What was turned before it.
    withdrawn : WithdrawnAnswer or None
        Why it no longer counts.
    word : str
        pass, fail, undecided or blocked.
    """

    rpm: float | None
    shaft: str
    condition: str
    instrument: str | None
    at: str | None
    setting: int | None
    stands: bool
    turned: str | None
    withdrawn: WithdrawnAnswer | None
    word: Stands = field(metadata={"serialization_alias": "verdict"})


@dataclass(frozen=True)
class StageAnswer:
    """One stage of a job.

    Attributes
    ----------
    stands : VerdictAnswer or None
        On the last setting; None where nothing was read.
    readings : tuple of VerdictAnswer
        On each reading alone.
    history : tuple of ToldAnswer
        The readings in the order in which they were taken.
    turned, withdrawn : int
        How often something was turned in between, and how many readings no longer count.
    """

    stands: VerdictAnswer | None
    readings: tuple[VerdictAnswer, ...]
    history: tuple[ToldAnswer, ...]
    turned: int
    withdrawn: int


@dataclass(frozen=True)
class JobAnswer:
    """What a whole job says.

    Attributes
    ----------
    id : str
        Its number.
    word : str or None
        pass, fail, undecided or blocked; None where nothing was read.
    decided_by : str or None
        "checks", "not checked", "stop" or "speed".
    stage : str or None
        The stage that counts.
    blocked_by : tuple of Fact
        Every fault that blocks.
    do_not_use : bool
        Whether every paper must say so.
    reasons, settle : tuple of str
        Why it is not a pass, and what would settle it.
    window : WindowAnswer
        Of the machine as left.
    as_found, as_left : StageAnswer
        The readings before and after it was set.
    behaviour : mapping
        What the machine does beside its speed, in SI.
    pdf : str or None
        Where its sheet was written.
    program : str
        Which version worked it out.
    """

    id: str
    word: Stands | None = field(metadata={"serialization_alias": "verdict"})
    decided_by: By | None
    stage: StageName | None
    blocked_by: tuple[Fact, ...]
    do_not_use: bool
    reasons: tuple[str, ...]
    settle: tuple[str, ...]
    window: WindowAnswer
    as_found: StageAnswer
    as_left: StageAnswer
    behaviour: dict[str, Any]
    pdf: str | None
    program: str


def job_answer(job: Job, result: Result, locale: Locale, *, pdf: str | None = None) -> JobAnswer:
    """A job's result as JSON has it."""
    told, stands = histories(job, result), result.stands
    return JobAnswer(
        id=job.id,
        word=stands.word or None,
        decided_by=stands.by or None,
        stage=stands.stage if stands.word else None,
        blocked_by=facts(stands.blocked_by, locale),
        do_not_use=stands.do_not_use,
        reasons=tuple(say(reason, locale) for reason in stands.reasons),
        settle=tuple(say(step, locale) for step in stands.settle),
        window=window_answer(result.window, result.notes, result.program, locale),
        as_found=_stage(result.as_found, told["as found"], job.machine, locale),
        as_left=_stage(result.as_left, told["as left"], job.machine, locale),
        behaviour=behaviour_data(result.behaviour),
        pdf=pdf,
        program=result.program,
    )


def behaviour_data(found: BehaviourResult) -> dict[str, Any]:
    """Every answer in SI to 9 digits; the points of drawn flights are left out."""
    data: dict[str, Any] = rounded(asdict(found))
    for reach in (data["throw"] or {}).get("training", ()):
        del reach["paths"]
    return data


def history_answer(told: Sequence[Told], machine: Machine) -> tuple[ToldAnswer, ...]:
    """Each reading: where and how it was taken, its setting, and why it does not count."""
    return tuple(_told(one, machine) for one in told)


def _stage(stage: StageResult, told: Sequence[Told], machine: Machine, locale: Locale) -> StageAnswer:
    return StageAnswer(
        stands=verdict_answer(stage.stands, locale) if stage.stands else None,
        readings=tuple(verdict_answer(verdict, locale) for verdict in stage.verdicts),
        history=history_answer(told, machine),
        turned=stage.turned,
        withdrawn=stage.withdrawn,
    )


def _told(one: Told, machine: Machine) -> ToldAnswer:
    reading, gone = one.reading, one.reading.withdrawn
    return ToldAnswer(
        rpm=None if reading.value is None else tenth_rpm(reading.value.value),
        shaft=reading.shaft,
        condition=condition_word(reading.condition, blades=bladed(machine)),
        instrument=reading.instrument or None,
        at=reading.at or None,
        setting=one.setting or None,
        stands=one.stands,
        turned=reading.turned or None,
        withdrawn=None if gone is None else WithdrawnAnswer(gone.reason, gone.by, gone.at or None),
        word=one.verdict.word,
    )
