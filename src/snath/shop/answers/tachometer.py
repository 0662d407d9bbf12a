"""Take a tachometer by what was said of it: its kind, its accuracy, or both."""

from snath.decisions.reading.instruments import INSTRUMENT_KINDS, Instrument, instrument_of_kind
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark, percentage


def tachometer(kind: str | None, accuracy: str | None, decimal_mark: DecimalMark) -> Instrument | None:
    """The same for a kind that nobody has looked at yet.

    Raises
    ------
    InputError
        Where there is no such kind, with those there are; or where the accuracy is no share.
    """
    if kind is not None and kind not in INSTRUMENT_KINDS:
        raise InputError("instrument", kind, Message("fleet.instrument-kind", known=tuple(INSTRUMENT_KINDS)))
    return instrument_named(kind, accuracy, decimal_mark)


def instrument_named(kind: str | None, accuracy: str | None, decimal_mark: DecimalMark) -> Instrument | None:
    """The tachometer that was named by its kind, its accuracy or both; None where it was not."""
    if accuracy is not None:
        share = percentage(accuracy, field="accuracy", decimal_mark=decimal_mark, most=0.1)
        return instrument_of_kind(kind or "other", accuracy=share)
    return None if kind is None else instrument_of_kind(kind)
