"""What makes a typed reading doubtful, line by line."""

import math
from collections.abc import Iterator, Sequence
from statistics import fmean, stdev

from snath.decisions.reading.instruments import Instrument
from snath.quantities.measured import Line, Measured

SCATTER, STATED, RESOLUTION = "scatter", "stated", "resolution"  # how lines of a budget begin, or end


def typed_budget(
    repeats: Sequence[float], *, instrument: Instrument | None, stated_u: float | None, what: str
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
    what : str
        Distinguishes this reading's own scatter from another's.
    """
    mean = fmean(repeats)
    if instrument is not None:
        mean *= 1 - instrument.correction
    return Measured(mean, tuple(_lines(repeats, mean, instrument, stated_u, what)))


def _lines(
    repeats: Sequence[float], mean: float, instrument: Instrument | None, stated_u: float | None, what: str
) -> Iterator[Line]:
    if len(repeats) > 1:
        scatter = stdev(repeats) / math.sqrt(len(repeats))
        if scatter > 0:
            yield Line(f"scatter of {len(repeats)} readings, {what}", scatter, len(repeats) - 1)
    if stated_u:
        yield Line(f"stated by the reader, {what}", stated_u)
    if instrument is None:
        return
    for name, half_width in (
        ("accuracy", instrument.accuracy * mean + instrument.digits),
        (RESOLUTION, instrument.resolution / 2),
    ):
        if half_width > 0:
            yield Line(f"{instrument.id}: {name}", half_width / math.sqrt(3), None, "rectangular")
    if instrument.u_correction > 0:
        yield Line(f"{instrument.id}: check against a reference", instrument.u_correction * mean)
