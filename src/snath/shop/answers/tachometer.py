"""Take a tachometer by what was said of it: its kind, its accuracy, or both."""

from snath.decisions.job.proof import of_kind
from snath.decisions.reading.instruments import Instrument
from snath.quantities.numbers import DecimalMark, percentage


def instrument_named(kind: str | None, accuracy: str | None, decimal_mark: DecimalMark) -> Instrument | None:
    """The tachometer that was named by its kind, its accuracy or both; None where it was not."""
    if accuracy is not None:
        share = percentage(accuracy, field="accuracy", decimal_mark=decimal_mark, most=0.1)
        return of_kind(kind or "other", accuracy=share)
    return None if kind is None else of_kind(kind)
