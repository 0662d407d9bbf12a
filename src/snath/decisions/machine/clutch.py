"""Say what engages the blades of a machine, and which conditions it can be read under."""

from typing import Literal, get_args

from snath.decisions.machine.condition_words import bladed
from snath.decisions.machine.parts import Condition, Machine
from snath.quantities.errors import InputError
from snath.quantities.message import Message

Clutch = Literal["none", "by hand", "centrifugal"]
RIDERS = ("ride-on rotary mower", "commercial rotary mower")  # their sheet must say which it is
BY_SPEED = ("brush cutter", "string trimmer", "edger", "cut-off saw", "go-kart")  # centrifugal, as a rule


def clutch_word(kind: str, given: bool | str | None) -> Clutch:
    """The clutch of a machine of that kind; earlier sheets said true and false for it."""
    if given is None or given is False or given == "none":
        return "none"
    if given is True:
        return "centrifugal" if kind in BY_SPEED else "by hand"
    return "by hand" if given == "by hand" else "centrifugal"


def conditions(machine: Machine) -> tuple[Condition, ...]:
    """Those a reading of it may be taken under: without a hand clutch nothing stands still, a motor has no idle."""
    every: tuple[Condition, ...] = get_args(Condition)
    off, idle = machine.engine.clutch, not machine.engine.electric
    return tuple(one for one in every if (off or one != "blades off") and (idle or one != "idle"))


def allowed_condition(machine: Machine, condition: Condition) -> Condition:
    """The condition itself.

    Raises
    ------
    InputError
        If nothing on the machine can be disengaged by hand: taken off, head or blade would let the engine run away; or
        if it has no idle.
    """
    if condition == "idle" and condition not in conditions(machine):
        raise InputError("condition", condition, Message("reading.no-idle"))
    if condition not in conditions(machine):
        raise InputError("condition", condition, nothing_disengaged(machine))
    return condition


def nothing_disengaged(machine: Machine) -> Message:
    """Why "blades off", or what it is called without blades, is refused where nothing can be disengaged by hand."""
    return Message("reading.no-blades-off") if bladed(machine) else Message("reading.nothing-disengaged")
