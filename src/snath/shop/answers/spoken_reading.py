"""Read what somebody typed for one reading: "N rpm", "CONDITION: N rpm" or "CONDITION at SHAFT: N rpm"."""

from dataclasses import dataclass

from snath.decisions.machine.condition_words import SPOKEN, condition_of
from snath.decisions.machine.parts import Condition, Machine
from snath.quantities.errors import InputError, between
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.quantities.units import parse

SLOWEST, FASTEST = 0.5, 1000  # rev/s; what an engine or its spindle can turn


@dataclass(frozen=True, slots=True)
class Spoken:
    """One typed reading: its speed [rev/s], where, and while what."""

    speed: float
    shaft: str
    condition: Condition


def spoken(
    text: object, machine: Machine, *, shaft: str, condition: Condition, decimal_mark: DecimalMark
) -> Spoken:
    """One reading; what it does not say of itself is as for all of them.

    Raises
    ------
    InputError
        If the condition or the shaft is none this machine has, or the rest is no speed.
    """
    before, colon, figure = text.rpartition(":") if isinstance(text, str) else ("", "", text)
    speed = parse(figure, dimension="rotation", field="reading", decimal_mark=decimal_mark).value
    if not SLOWEST <= speed <= FASTEST:
        raise InputError("reading", text, between(SLOWEST * 60, FASTEST * 60, "rpm"))
    if not colon:
        return Spoken(speed, known_shaft(machine, shaft, "at"), condition)
    said, at, where = before.partition(" at ")
    return Spoken(speed, known_shaft(machine, where.strip() if at else shaft, "reading"), _condition(said))


def _condition(said: str) -> Condition:
    found = condition_of(said)
    if found is None:
        raise InputError("reading", said, Message("verdict.read-condition", known=SPOKEN))
    return found


def known_shaft(machine: Machine, shaft: str, field: str) -> str:
    """The shaft, refused where this machine has none of that name."""
    if shaft not in machine.shafts:
        raise InputError(field, shaft, Message("verdict.read-needs-shaft", known=machine.shafts))
    return shaft
