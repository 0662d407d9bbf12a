"""Build the uncertainty budget of a typed reading, line by line."""

import math
from collections.abc import Iterator, Mapping, Sequence
from statistics import fmean, stdev

from snath.decisions.machine.parts import Condition
from snath.decisions.reading.instruments import Instrument
from snath.quantities.measured import Line, Measured
from snath.quantities.message import Message, Value, term

SCATTERS = ("budget.scatter", "budget.runs")  # of single readings about their mean
STATED, RESOLUTION = "budget.stated", "budget.resolution"


def cause(line: Line) -> str:
    """The code of what brings this doubt; none where somebody named it."""
    return line.source.code if isinstance(line.source, Message) else ""


def is_of(line: Line, instrument: str) -> bool:
    """Whether an instrument brings this doubt to everything that is read with it."""
    return isinstance(line.source, Message) and line.source.values.get("instrument") == instrument


def taken(shaft: str, condition: Condition, at: str) -> Mapping[str, Value]:
    """What tells the scatter of one reading from another's."""
    return {"shaft": shaft, "condition": term("condition", condition), "at": at}


def beside_reading(source: Message | str) -> Message | str:
    """A cause of doubt as it is called where its reading stands beside it."""
    if not isinstance(source, Message):
        return source
    if source.code == STATED:
        return Message("budget.stated-here")
    if source.code == "budget.scatter":
        return Message("budget.scatter-here", count=source.values["count"])
    if source.code == "budget.runs":
        return Message("budget.runs-here", count=source.values["count"])
    return source


def typed_budget(
    repeats: Sequence[float],
    *,
    instrument: Instrument | None,
    stated_u: float | None,
    taken: Mapping[str, Value],
) -> Measured:
    """Mean of repeated readings with its budget.

    Parameters
    ----------
    repeats : sequence of float
        At least one reading. [rev/s]
    instrument : Instrument or None
        What they were read with; its lines carry its id, so that two readings with it share them.
    stated_u : float or None
        Standard uncertainty the user states instead of a budget. [rev/s]
    taken : mapping
        As `taken` has it.
    """
    mean = fmean(repeats)
    if instrument is not None:
        mean *= 1 - instrument.correction
    return Measured(mean, tuple(_lines(repeats, mean, instrument, stated_u, taken)))


def _lines(
    repeats: Sequence[float],
    mean: float,
    instrument: Instrument | None,
    stated_u: float | None,
    taken: Mapping[str, Value],
) -> Iterator[Line]:
    if len(repeats) > 1:
        scatter = stdev(repeats) / math.sqrt(len(repeats))
        if scatter > 0:
            yield Line(Message("budget.scatter", count=len(repeats), **taken), scatter, len(repeats) - 1)
    if stated_u:
        yield Line(Message("budget.stated", **taken), stated_u)
    if instrument is None:
        return
    for source, half_width in (
        (
            Message("budget.accuracy", instrument=instrument.id),
            instrument.accuracy * mean + instrument.digits,
        ),
        (Message("budget.resolution", instrument=instrument.id), instrument.resolution / 2),
    ):
        if half_width > 0:
            yield Line(source, half_width / math.sqrt(3), None, "rectangular")
    if instrument.u_correction > 0:
        yield Line(Message("budget.check", instrument=instrument.id), instrument.u_correction * mean)
