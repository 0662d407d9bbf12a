"""Say what was taken for a machine because its sheet leaves it open, and what the sheet states without a figure."""

from collections.abc import Iterator
from itertools import groupby

from snath.decisions.machine.parts import Machine, Taken
from snath.quantities.constants import INCH
from snath.quantities.message import Amount, Message, term

SAME = 1e-9  # m


def taken_notes(machine: Machine) -> Iterator[Message]:
    """One message for each kind of thing that was taken, naming all it was taken for."""
    ordered = sorted(machine.taken, key=_what)
    for (kind, value), several in groupby(ordered, key=_what):
        of = tuple(Message("machine.of", name=one.name, what=term("size", one.size)) for one in several)
        length = Amount(value, "length")
        if kind == "bar width":
            yield Message("machine.taken-bar", width=length, of=of)
        elif kind == "ride":
            yield Message("machine.taken-ride", depth=length, of=of)
        elif abs(value - INCH / 16) < SAME:
            yield Message("machine.taken-tape-inch", half=length, of=of)
        else:
            yield Message("machine.taken-tape-metric", half=length, of=of)
    if machine.engine.centrifugal:
        yield Message("machine.never-without-head")
    for member in machine.members:
        if member.unlimited:
            yield Message("machine.unlimited", name=member.name, why=member.unlimited)


def belts_not_looked_at(machine: Machine) -> bool:
    """Whether nobody looked how deep some belt rides: a look would narrow what is known of its ratio."""
    return any(one.kind == "ride" for one in machine.taken)


def _what(one: Taken) -> tuple[str, float]:
    return one.kind, one.value
