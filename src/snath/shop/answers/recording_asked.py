"""Put what somebody said of a recording together, bounded, whoever asked: a function of `snath` or another program."""

from typing import Any

from snath.decisions.machine.clutch import allowed_condition
from snath.decisions.machine.parts import CRANKSHAFT, Condition, Machine
from snath.decisions.reading.compared import Comparison
from snath.quantities.errors import InputError, one_within
from snath.quantities.message import Message
from snath.shop.answers.recording import per_turn_of
from snath.shop.answers.spoken_reading import known_shaft
from snath.shop.media.decoder import LONGEST_S
from snath.shop.media.request import Kind, ReadRequest


def recording_asked(
    machine: Machine | None,
    *,
    at: str = CRANKSHAFT,
    condition: Condition = "blades in air",
    kind: Kind | None = None,
    per_turn: float | str | None = None,
    clock: float | None = None,
    marks: int | None = None,
    capture_rate: float | None = None,
    from_s: float | None = None,
    to_s: float | None = None,
    comparisons: tuple[Comparison, ...] = (),
    phone: str = "",
) -> ReadRequest:
    """What was said of a recording.

    Raises
    ------
    InputError
        Naming the parameter that cannot be used, and what would do.
    """
    begin_s = _number("from_s", from_s, 0, LONGEST_S, "s")
    end_s = _number("to_s", to_s, 0, LONGEST_S, "s")
    if begin_s is not None and end_s is not None and begin_s >= end_s:
        raise InputError("from_s", f"{begin_s:g} s", Message("media.before-end", end=end_s))
    return ReadRequest(
        kind=kind,
        machine=machine,
        shaft=at if machine is None else known_shaft(machine, at, "at"),
        condition=condition if machine is None else allowed_condition(machine, condition),
        per_turn=per_turn_of(per_turn, "per_turn"),
        clock=_number("clock", clock, 0, 1e12, "Hz"),
        marks=_whole("marks", marks, 1, 100),
        capture_rate=_number("capture_rate", capture_rate, 1, 10_000, "frames/s"),
        comparisons=comparisons,
        recorder=phone,
        begin_s=begin_s,
        end_s=end_s,
    )


def _number(field: str, given: Any, low: float, high: float, unit: str = "") -> float | None:
    return None if given is None else one_within(field, given, low, high, unit)


def _whole(field: str, given: Any, low: int, high: int) -> int | None:
    number = _number(field, given, low, high)
    if number is None:
        return None
    if number != int(number):
        raise InputError(field, given, Message("sheet.whole-number"))
    return int(number)
