"""Say what a condition is called on a machine: without blades none is off or in air, and nothing is cut."""

from typing import get_args

from snath.decisions.machine.parts import Condition, Machine
from snath.quantities.message import Message, term

MOWER = "rotary mower"  # what the kinds that have blades, whether or not the sheet names one, end in
WITHOUT_BLADES: dict[Condition, str] = {  # what is not here is called the same
    "blades off": "disengaged",
    "blades in air": "no load",
    "cutting": "loaded",
}
# What people say and files may hold, beside the core's own words.
ALSO: dict[str, Condition] = {
    **{said: condition for condition, said in WITHOUT_BLADES.items()},
    "off": "blades off",
    "air": "blades in air",
    "in air": "blades in air",
    "under load": "cutting",
}
CONDITIONS: tuple[Condition, ...] = get_args(Condition)
SPOKEN = (*CONDITIONS, *WITHOUT_BLADES.values())


def bladed(machine: Machine) -> bool:
    """Whether its conditions are told by its blades: a mower, or whatever has a blade on its sheet."""
    return MOWER in machine.kind or any(member.kind == "blade" for member in machine.members)


def condition_word(condition: Condition, *, blades: bool) -> str:
    """What a condition is called, with blades or without."""
    return condition if blades else WITHOUT_BLADES.get(condition, condition)


def condition_term(machine: Machine, condition: Condition) -> Message:
    """The same as a message, for whoever says it in the reader's language."""
    return term("condition", condition_word(condition, blades=bladed(machine)))


def condition_of(text: str) -> Condition | None:
    """The condition that is meant, None where it is none."""
    word = " ".join(text.split()).lower()
    for one in CONDITIONS:
        if word == one:
            return one
    return ALSO.get(word)
