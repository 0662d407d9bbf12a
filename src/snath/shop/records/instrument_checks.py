"""Keep a check of an instrument beside a reference, and carry it into the next reading's budget."""

from collections.abc import Sequence
from datetime import date

from django.db import transaction
from django.utils.translation import gettext_noop

from snath.decisions.reading.check import Correction, Point, correction_from
from snath.decisions.reading.instruments import Instrument
from snath.shop.records.people import Person
from snath.shop.records.shop import InstrumentCheck, InstrumentRecord, months_later
from snath.shop.records.store import audit


@transaction.atomic
def record_check(
    instrument: InstrumentRecord, on: date, reference: str, points: Sequence[Point], who: Person
) -> Correction:
    """Keep every figure of a check, and let the newest check set correction and next date."""
    instrument = InstrumentRecord.objects.select_for_update().get(pk=instrument.pk)
    earlier = instrument.checks.filter(on__lt=on).order_by("-on").first()
    before = None
    if earlier:
        before = correction_from(_points(instrument, earlier.on), resolution=instrument.resolution).correction
    result = correction_from(points, resolution=instrument.resolution, before=before)
    InstrumentCheck.objects.bulk_create(
        InstrumentCheck(
            instrument=instrument,
            on=on,
            reference=reference,
            read_rev_s=point.read,
            reference_rev_s=point.reference,
            u_reference_rev_s=point.u_reference,
            drift=result.drift,
            who=who.name,
        )
        for point in points
    )
    if not instrument.checks.filter(on__gt=on).exists():
        instrument.correction, instrument.u_correction = result.correction, result.u_correction
        instrument.checked_on = on
        instrument.due_on = months_later(on, instrument.check_every_months)
        instrument.save()
    audit(who, gettext_noop("checked instrument"), instrument.code)
    return result


def _points(instrument: InstrumentRecord, on: date) -> list[Point]:
    rows = instrument.checks.filter(on=on)
    return [Point(row.read_rev_s, row.reference_rev_s, row.u_reference_rev_s) for row in rows]


def instrument_of(record: InstrumentRecord) -> Instrument:
    """The instrument as a job copies it."""
    return Instrument(
        id=record.code,
        name=record.name,
        kind=record.kind,
        accuracy=record.accuracy,
        digits=record.digits,
        resolution=record.resolution,
        per_turn=record.per_turn,
        checked_on=record.checked_on.isoformat() if record.checked_on else "",
        due_on=record.due_on.isoformat() if record.due_on else "",
        bought_on=record.bought_on.isoformat() if record.bought_on else "",
        correction=record.correction,
        u_correction=record.u_correction,
    )
