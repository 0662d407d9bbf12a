"""Answer what a whole fleet says, a row a machine."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class FleetRow:
    """One machine of a fleet; speeds at the crankshaft, words on the speed alone.

    Attributes
    ----------
    place : str
        Where it stands: file, sheet and row.
    number, machine, serial, kind, customer : str
        What it is called, and whose it is.
    shut : bool or None
        Whether no engine speed will do; None where it could not be worked.
    ceiling_rpm, floor_rpm : int or None
        Between which it may run, rounded inwards. [rpm]
    set_from_rpm, set_to_rpm : int or None
        Between which it is to be set. [rpm]
    binding, rule : str
        The part that limits it, and by which row of the book.
    reading_rpm, u_rpm : float or None
        Its last reading and the standard uncertainty of that. [rpm]
    over : bool or None
        Whether it was read over its limit beyond doubt.
    speed_alone, why : str
        What that reading says of the speed, and why.
    read_on, due_on : str
        Days (ISO 8601), empty where there is none; no day to be read by is at once.
    due : bool
        Whether it is to be read again by now.
    error : str or None
        Why it could not be worked.
    """

    place: str
    number: str
    machine: str
    serial: str
    kind: str
    customer: str
    shut: bool | None
    ceiling_rpm: int | None
    floor_rpm: int | None
    set_from_rpm: int | None
    set_to_rpm: int | None
    binding: str
    rule: str
    reading_rpm: float | None
    u_rpm: float | None
    over: bool | None
    speed_alone: Literal["", "pass", "fail", "undecided"]
    why: str
    read_on: str
    due_on: str
    due: bool
    error: str | None
