"""Say how far off an instrument is taken to be, where nothing newer than its kind is known of it."""

from dataclasses import dataclass

from snath.decisions.reading.instruments import INSTRUMENT_KINDS, UNKNOWN, Instrument, accuracy_known, overdue
from snath.quantities.message import Amount, Message

DIGIT = 1 / 60  # rev/s; the last digit of a display nobody described
LATE = 2.0  # times its own figure, once its check is overdue (common practice, no source)
NEW = 0.5  # of its kind's bound, at least, in the year after it was bought (common practice, no source)


@dataclass(frozen=True, slots=True)
class Assumed:
    """A bound that was taken for an instrument.

    Attributes
    ----------
    half_width : float
        To either side, taken whole. [rev/s]
    multiple : bool
        Whether it may show half of the true speed, or another part of it.
    idle_tells : bool
        Whether that shows at idle too, by a reading that fits there.
    why : Message
        What was assumed, for the sheet.
    """

    half_width: float
    multiple: bool
    why: Message
    idle_tells: bool = False


def assumed(instrument: Instrument | None, *, speed: float, on: str) -> Assumed | None:
    """What is taken for an instrument at a speed [rev/s]; None where its plate and a check in date say it."""
    kind = INSTRUMENT_KINDS[instrument.kind if instrument else UNKNOWN]
    share = kind.share
    if instrument is None:
        why = Message("verdict.assumed-unknown", within=_share(share))
        return Assumed(max(share * speed, DIGIT), kind.multiple, why)
    name = instrument.name
    own = max(instrument.accuracy + instrument.digits / speed, 2 * instrument.u_correction)
    if not accuracy_known(instrument):
        why = Message("verdict.assumed-kind", instrument=name, within=_share(share))
    elif not on or not overdue(instrument, on):
        return None
    elif _as_bought(instrument, on):
        share = max(own, NEW * share)
        why = Message("verdict.assumed-new", instrument=name, within=_share(share))
    else:
        share = max(LATE * own, share)
        why = Message("verdict.assumed-late", instrument=name, within=_share(share))
    return Assumed(max(share * speed, instrument.resolution, DIGIT), kind.multiple, why, kind.idle_tells)


def _share(share: float) -> Amount:
    return Amount(share, "share")


def _as_bought(instrument: Instrument, on: str) -> bool:
    """Whether it was never checked and was bought less than a year before that day."""
    if instrument.checked_on or not instrument.bought_on:
        return False
    year, rest = instrument.bought_on.split("-", 1)
    return instrument.bought_on <= on <= f"{int(year) + 1:04d}-{rest}"  # ISO dates compare as text
