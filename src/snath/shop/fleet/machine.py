"""Hold one machine of a fleet: its sheet, its last reading, and when it is to be read again."""

from dataclasses import dataclass

from snath.decisions.machine.clutch import allowed_condition
from snath.decisions.machine.condition_words import SPOKEN, condition_of
from snath.decisions.machine.parts import CRANKSHAFT, Machine
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.reading import Reading
from snath.decisions.reading.typed import typed_reading
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.quantities.units import parse
from snath.shop.answers.spoken_reading import spoken
from snath.shop.answers.tachometer import tachometer
from snath.shop.fleet.days import after_months

USUAL_MONTHS = 12  # common practice, no source
Taken = tuple[tuple[Reading, ...], tuple[Instrument, ...]]  # readings, and what they were taken with


@dataclass(frozen=True, slots=True)
class FleetMachine:
    """A machine as a table or a file has it.

    Attributes
    ----------
    place : str
        Where it stands, "fleet.xlsx Sheet1 row 7" or the name of its file.
    sheet : str
        Its machine sheet, TOML.
    mark : str
        The decimal mark of its reading, and of its sheet where that states none.
    number, customer : str
        What the fleet calls it, and whose it is.
    reading, read_at, condition, u, instrument, accuracy : str
        Its last reading as typed, empty where there is none.
    read_on, due_on : str
        ISO days, empty where nobody said.
    every : int
        Months from one reading to the next; 0 where nobody said.
    """

    place: str
    sheet: str
    mark: DecimalMark = "."
    number: str = ""
    customer: str = ""
    reading: str = ""
    read_at: str = ""
    condition: str = ""
    u: str = ""
    instrument: str = ""
    accuracy: str = ""
    read_on: str = ""
    due_on: str = ""
    every: int = 0

    def due(self, usual_months: int = USUAL_MONTHS) -> str:
        """The day by which it is to be read again: as said, else so long after its last reading; empty for at once."""
        if self.due_on or not self.read_on:
            return self.due_on
        return after_months(self.read_on, self.every or usual_months)


def reading_of(machine: Machine, kept: FleetMachine) -> Taken | None:
    """The last reading and what it was taken with, None where there is none.

    Raises
    ------
    InputError
        Naming the column that is wrong.
    """
    if not kept.reading:
        for column in ("u", "instrument", "accuracy"):
            if getattr(kept, column):
                raise InputError(column, getattr(kept, column), Message("fleet.reading-needed"))
        return None
    condition = condition_of(kept.condition or "blades in air")
    if condition is None:
        raise InputError("condition", kept.condition, Message("verdict.read-condition", known=SPOKEN))
    shaft = kept.read_at or CRANKSHAFT
    if shaft not in machine.shafts:
        raise InputError("read_at", shaft, Message("verdict.read-needs-shaft", known=machine.shafts))
    text = kept.reading
    one = spoken(text, machine, shaft=shaft, condition=condition, decimal_mark=kept.mark)
    tool = tachometer(kept.instrument or None, kept.accuracy or None, kept.mark)
    u = parse(kept.u, dimension="rotation", field="u", decimal_mark=kept.mark).value if kept.u else None
    if tool is None and u is None:
        raise InputError("reading", text, Message("fleet.doubt-needed"))
    reading = typed_reading(
        [one.speed],
        shaft=one.shaft,
        condition=allowed_condition(machine, one.condition),
        instrument=tool,
        stated_u=u,
        at=kept.read_on,
    )
    return (reading,), (tool,) if tool else ()
