"""A check beside a reference reaches the instrument that jobs copy."""

from datetime import date

import pytest

from snath.decisions.reading.check import Point
from snath.shop.records.instrument_checks import instrument_of, months_later, record_check
from snath.shop.records.shop import InstrumentRecord

pytestmark = pytest.mark.django_db


@pytest.fixture
def tach() -> InstrumentRecord:
    return InstrumentRecord.objects.create(code="tach-1", name="optical, grey", resolution=0.1)


def test_the_newest_check_sets_correction_dates_and_drift(tach, mechanic):
    # By hand: 0.3/60.3 = 0.00497512, then 0.6/60.6 = 0.00990099; drift 0.00492587.
    record_check(tach, date(2025, 3, 31), "counter C7", [Point(60.3, 60.0, 0.006)], mechanic)
    found = record_check(tach, date(2026, 2, 28), "counter C7", [Point(60.6, 60.0, 0.006)], mechanic)
    tach.refresh_from_db()
    assert tach.correction == pytest.approx(0.00990099, abs=5e-9)
    assert found.drift == pytest.approx(0.00492587, abs=5e-9)
    assert (tach.checked_on, tach.due_on) == (date(2026, 2, 28), date(2027, 2, 28))
    copied = instrument_of(tach)
    assert (copied.id, copied.checked_on, copied.due_on) == ("tach-1", "2026-02-28", "2027-02-28")
    assert (copied.correction, copied.u_correction) == (tach.correction, tach.u_correction)


def test_a_check_entered_late_is_kept_but_the_newest_still_counts(tach, mechanic):
    record_check(tach, date(2026, 2, 1), "counter C7", [Point(60.6, 60.0)], mechanic)
    record_check(tach, date(2025, 2, 1), "counter C7", [Point(60.1, 60.0)], mechanic)
    tach.refresh_from_db()
    assert tach.checked_on == date(2026, 2, 1)
    assert tach.checks.count() == 2


@pytest.mark.parametrize(
    ("on", "months", "then"),
    [  # by hand, from a calendar
        (date(2025, 1, 31), 1, date(2025, 2, 28)),
        (date(2024, 1, 31), 1, date(2024, 2, 29)),
        (date(2025, 12, 15), 12, date(2026, 12, 15)),
        (date(2025, 11, 30), 3, date(2026, 2, 28)),
    ],
)
def test_the_next_check_falls_on_the_same_day_or_the_months_last(on, months, then):
    assert months_later(on, months) == then
