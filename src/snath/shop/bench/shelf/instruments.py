"""The shop's instruments as the core knows them."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from snath.decisions.job.job import Job
from snath.decisions.reading.instruments import Instrument
from snath.quantities.message import term
from snath.shop.bench.words import said_later
from snath.shop.records.instrument_checks import instrument_of
from snath.shop.records.models import InstrumentRecord
from snath.shop.records.unchanged import unchanged

ON_THE_SHELF = InstrumentRecord.objects.filter(retired=False).order_by("name")


def kinds_named(names: Iterable[str]) -> tuple[tuple[str, Any], ...]:
    """Kinds of instrument to choose from, by how they read."""
    return tuple((name, said_later(term("instrument-kind", name))) for name in names)


def shop_instruments() -> tuple[Instrument, ...]:
    """Every instrument that is not retired."""
    return unchanged(("instruments",), lambda: tuple(map(instrument_of, ON_THE_SHELF.all())))


def with_instrument(job: Job, instrument: Instrument | None) -> Job:
    """The job with that instrument copied in as it is now; readings taken with it before keep their budget."""
    if instrument is None:
        return job
    others = tuple(known for known in job.instruments if known.id != instrument.id)
    return replace(job, instruments=(*others, instrument))
