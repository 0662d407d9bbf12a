"""Answer what typed readings of one setting prove: pass, fail or undecided, of the speed alone."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from snath.decisions.job.job import Job, Stage
from snath.decisions.job.stage import speed_alone
from snath.decisions.job.stands import SPEED_ONLY
from snath.decisions.job.window_of import notes_of
from snath.decisions.machine.clutch import allowed_condition
from snath.decisions.machine.parts import CRANKSHAFT, Condition, Machine
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.reading import Reading
from snath.decisions.reading.typed import typed_reading
from snath.decisions.verdict.verdict import MemberVerdict, Verdict
from snath.decisions.window.solve import USUAL_DECISION, DecisionRule
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.quantities.units import parse
from snath.shop.answers.facts import facts
from snath.shop.answers.speeds import ceil_rpm, floor_rpm, hundredth_rpm, tenth_rpm
from snath.shop.answers.spoken_reading import Spoken, spoken
from snath.shop.answers.verdict_types import AskedVerdict, MemberAnswer, VerdictAnswer
from snath.words.render import Locale


def verdict_answer(verdict: Verdict, locale: Locale) -> VerdictAnswer:
    """A verdict as JSON has it."""
    return VerdictAnswer(**_verdict(verdict, locale))


@dataclass(frozen=True, slots=True)
class Judged:
    """A verdict on typed readings, the job without them, and what to know of how they were judged."""

    verdict: Verdict
    job: Job
    readings: tuple[Reading, ...]
    notes: tuple[Message, ...]


def asked_verdict(found: Judged, locale: Locale) -> AskedVerdict:
    """The same as JSON has it."""
    return AskedVerdict(
        **_verdict(found.verdict, locale),
        speaks_of="speed alone",
        chosen_rule=found.job.only_rule or None,
        notes=facts(found.notes, locale),
    )


def ask_verdict(
    job: Job,
    readings: Iterable[object],
    *,
    instrument: Instrument | None = None,
    u: str | None = None,
    shaft: str = CRANKSHAFT,
    condition: Condition = "blades in air",
    hunting: str | None = None,
    decision: DecisionRule = USUAL_DECISION,
    decimal_mark: DecimalMark = ".",
) -> Judged:
    """The verdict on readings as they were typed.

    Parameters
    ----------
    job : Job
        The machine with the rows that speak of it, without readings.
    readings : iterable of str
        As "3290 rpm", "no load: 3290 rpm" or "blades in air at spindle: 2900 rpm".
    instrument : Instrument or None
        What they were taken with.
    u, hunting : str or None
        Standard uncertainty somebody stands for, and half the swing of a hunting engine, as "10 rpm".
    shaft, condition
        Of a reading that does not say them itself.
    decision
        By which rule.
    decimal_mark : str
        How the figures are written.

    Raises
    ------
    InputError
        If one is no speed, contradicts the others, or names what this machine does not have.
    """

    def speed(text: str | None, field: str) -> float | None:
        if text is None:
            return None
        return parse(text, dimension="rotation", field=field, decimal_mark=decimal_mark).value

    typed = [
        spoken(text, job.machine, shaft=shaft, condition=condition, decimal_mark=decimal_mark)
        for text in readings
    ]
    taken = _taken(job.machine, typed, instrument, stated_u=speed(u, "u"), hunting=speed(hunting, "hunting"))
    tools = (instrument,) if instrument else ()
    verdict = speed_alone(replace(job, as_found=Stage(taken), instruments=tools, decision=decision))
    assert verdict is not None
    return Judged(verdict, job, taken, (*notes_of(job), SPEED_ONLY))


def _verdict(verdict: Verdict, locale: Locale) -> dict[str, Any]:
    low, high = verdict.set_between or (None, None)
    return {
        "word": verdict.word,
        "limits": verdict.limits,
        "maker": verdict.maker,
        "green": verdict.green,
        "p_over": None if verdict.p_over is None else _chances(*verdict.p_over),
        "pass_below_rpm": floor_rpm(verdict.pass_below),
        "fail_above_rpm": ceil_rpm(verdict.fail_above),
        "decision_rule": verdict.decision_rule,
        "members": tuple(map(_member, verdict.members)),
        "work": verdict.work or None,
        "set_from_rpm": hundredth_rpm(low, up=True),
        "set_to_rpm": hundredth_rpm(high, up=False),
        "target_rpm": tenth_rpm(verdict.target),
        "reasons": facts(verdict.reasons, locale),
        "settle": facts(verdict.settle, locale),
    }


def _member(one: MemberVerdict) -> MemberAnswer:
    return MemberAnswer(one.member, one.rule, one.side, one.word, _chances(one.p_least, one.p_most))


def _chances(least: float, most: float) -> tuple[float, float]:
    """Two chances to six digits."""
    return float(f"{least:.6g}"), float(f"{most:.6g}")


def _taken(
    machine: Machine,
    typed: list[Spoken],
    instrument: Instrument | None,
    *,
    stated_u: float | None,
    hunting: float | None,
) -> tuple[Reading, ...]:
    """Every figure as a reading of its own; those of one shaft and condition must be of one speed."""
    groups: dict[tuple[str, Condition], list[float]] = {}
    for one in typed:
        groups.setdefault((one.shaft, allowed_condition(machine, one.condition)), []).append(one.speed)
    for speeds in groups.values():
        typed_reading(speeds)  # refuses what lies too far apart, a slip of a digit
    return tuple(
        typed_reading(
            [speed],
            shaft=shaft,
            condition=condition,
            instrument=instrument,
            stated_u=stated_u,
            hunting=hunting,
        )
        for (shaft, condition), speeds in groups.items()
        for speed in speeds
    )
