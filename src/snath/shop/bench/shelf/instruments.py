"""The shop's instruments as the core knows them."""

from dataclasses import replace
from typing import cast

from snath.decisions.job.job import Job
from snath.decisions.reading.instruments import Instrument, InstrumentKind
from snath.shop.records.models import InstrumentRecord


def shop_instruments() -> tuple[Instrument, ...]:
    """Every instrument that is not retired."""
    return tuple(
        as_instrument(row) for row in InstrumentRecord.objects.filter(retired=False).order_by("name")
    )


def as_instrument(row: InstrumentRecord) -> Instrument:
    """One row of the shelf."""
    return Instrument(
        id=row.code,
        name=row.name,
        kind=cast(InstrumentKind, row.kind),
        accuracy=row.accuracy,
        digits=row.digits,
        resolution=row.resolution,
        per_turn=row.per_turn,
        checked_on=row.checked_on.isoformat() if row.checked_on else "",
        due_on=row.due_on.isoformat() if row.due_on else "",
        correction=row.correction,
        u_correction=row.u_correction,
    )


def with_instrument(job: Job, instrument: Instrument | None) -> Job:
    """The job with that instrument copied in as it is now; readings taken with it before keep their budget."""
    if instrument is None:
        return job
    others = tuple(known for known in job.instruments if known.id != instrument.id)
    return replace(job, instruments=(*others, instrument))
