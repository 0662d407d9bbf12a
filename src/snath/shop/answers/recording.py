"""Answer what a recording says: one speed with its doubt, or every speed that fits and why."""

from dataclasses import dataclass
from numbers import Real
from typing import Any, Literal

from snath.decisions.machine.condition_words import bladed, condition_word
from snath.decisions.machine.parts import Machine
from snath.quantities.errors import InputError, one_within
from snath.quantities.message import Message
from snath.shop.answers.facts import Fact, fact, facts
from snath.shop.media.held import held_speeds
from snath.shop.media.request import ReadResult
from snath.shop.media.told import Told
from snath.words.render import Locale


@dataclass(frozen=True)
class CandidateAnswer:
    """One speed that fits.

    Attributes
    ----------
    rpm, u_rpm : float
        The speed, and its standard uncertainty. [rpm]
    weight : float
        The share of belief it has, 0 to 1.
    order, why : Fact
        What the recording would hold then, and what speaks for it.
    """

    rpm: float
    u_rpm: float
    weight: float
    order: Fact
    why: Fact


@dataclass(frozen=True)
class HeldAnswer:
    """One of several speeds that a recording holds one after the other.

    Attributes
    ----------
    name : str
        What it is called, by its times.
    from_s, to_s : float
        When, on the recording. [s]
    rpm, u_rpm : float
        The speed, and its standard uncertainty. [rpm]
    """

    name: str
    from_s: float
    to_s: float
    rpm: float
    u_rpm: float


@dataclass(frozen=True)
class DoubtAnswer:
    """One cause of doubt.

    Attributes
    ----------
    source : Fact
        The cause.
    u_rpm : float
        What it brings, as a standard uncertainty. [rpm]
    """

    source: Fact
    u_rpm: float


@dataclass(frozen=True)
class RecordingAnswer:
    """What a recording says; speeds at the shaft it was taken at.

    Attributes
    ----------
    rpm, u_rpm : float or None
        The speed and its standard uncertainty; None where several fit. [rpm]
    decided : bool
        Whether one speed is left.
    candidates : tuple of CandidateAnswer
        Every speed that fits, the likeliest first.
    held_speeds : tuple of HeldAnswer
        The speeds held one after the other, where there are several.
    begin_s, seconds : float
        Where on the recording what was read begins, and how long it is. [s]
    method : str
        "sound", "pulses", "light" or "fused".
    shaft, condition : str
        Where it was taken, and while what.
    confirmed : bool
        False while it is an indication only: never checked beside a tachometer in this shop.
    hunting_rpm : float or None
        Half the swing of a hunting engine. [rpm]
    low_rpm, high_rpm : float or None
        Between which speeds it moved. [rpm]
    drift_rpm_per_s : float or None
        How fast it drifted. [rpm/s]
    budget : tuple of DoubtAnswer
        What its doubt is made of.
    why : Fact
        Why it is decided or not.
    next_steps, notes : tuple of Fact
        What to measure to decide it, and what else has to be known.
    sha256 : str
        By which the file is known again.
    """

    rpm: float | None
    u_rpm: float | None
    decided: bool
    candidates: tuple[CandidateAnswer, ...]
    held_speeds: tuple[HeldAnswer, ...]
    begin_s: float
    seconds: float
    method: str
    shaft: str
    condition: str
    confirmed: bool
    hunting_rpm: float | None
    low_rpm: float | None
    high_rpm: float | None
    drift_rpm_per_s: float | None
    budget: tuple[DoubtAnswer, ...]
    why: Fact
    next_steps: tuple[Fact, ...]
    notes: tuple[Fact, ...]
    sha256: str


def recording_answer(found: ReadResult | Told, machine: Machine | None, locale: Locale) -> RecordingAnswer:
    """What was read, as JSON has it."""
    reading, value = found.reading, found.reading.value
    return RecordingAnswer(
        rpm=None if value is None else round(value.value * 60, 4),
        u_rpm=None if value is None else _doubt(value.u),
        decided=reading.decided,
        candidates=tuple(
            CandidateAnswer(
                rpm=round(one.rev_s * 60, 4),
                u_rpm=_doubt(one.u),
                weight=round(one.weight, 4),
                order=fact(one.order, locale),
                why=fact(one.why, locale),
            )
            for one in reading.candidates
        ),
        held_speeds=tuple(HeldAnswer(**one) for one in held_speeds(reading, locale)),
        begin_s=round(found.begin_s, 3),
        seconds=round(found.seconds, 3),
        method=reading.method,
        shaft=reading.shaft,
        condition=condition_word(reading.condition, blades=machine is None or bladed(machine)),
        confirmed=reading.confirmed,
        hunting_rpm=_rpm(reading.hunting, 2),
        low_rpm=_rpm(found.low),
        high_rpm=_rpm(found.high),
        drift_rpm_per_s=_rpm(found.drift),
        budget=tuple(
            DoubtAnswer(fact(line.source, locale), _doubt(abs(line.u)))
            for line in (value.lines if value else ())
        ),
        why=fact(reading.why, locale),
        next_steps=facts(reading.next_steps, locale),
        notes=facts(found.notes, locale),
        sha256=reading.evidence,
    )


def per_turn_of(given: Any, field: str = "per turn") -> float | Literal["spark"] | None:
    """Pulses or marks in a turn: a number, or "spark" for what the sheet's ignition gives.

    Raises
    ------
    InputError
        Where it is neither.
    """
    if given is None:
        return None
    if isinstance(given, str) and given == "spark":
        return "spark"
    if not isinstance(given, str | Real):
        raise InputError(field, given, Message("pulses.per-turn"))
    try:
        value = float(given) if isinstance(given, str) else given
    except ValueError:
        raise InputError(field, given, Message("pulses.per-turn")) from None
    return one_within(field, value, 0.1, 1000)


def _doubt(u: float) -> float:
    """A standard uncertainty in rpm, to four digits."""
    return float(f"{u * 60:.4g}")


def _rpm(speed: float | None, digits: int = 3) -> float | None:
    return None if speed is None else round(speed * 60, digits)
