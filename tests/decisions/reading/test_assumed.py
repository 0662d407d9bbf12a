"""How far off is an instrument taken to be, by its kind, its plate and its checks?"""

from dataclasses import replace

import pytest

from snath.decisions.reading.assumed import assumed
from snath.decisions.reading.instruments import Instrument
from tests.machines import RPM

PLATE = Instrument("T1", "tachometer", "optical", accuracy=0.002, resolution=RPM)


@pytest.mark.parametrize(
    ("kind", "share"),
    [
        ("optical", 0.01),
        ("inductive", 0.02),
        ("contact", 0.02),
        ("stroboscope", 0.02),
        ("reed", 0.05),
        ("other", 0.05),
    ],
)
def test_an_instrument_nothing_is_known_of_gets_what_its_kind_gets(kind, share):
    # By hand, from the table the verdict issue gives: 3,000 rpm at 1, 2 or 5 % is 30, 60 or 150 rpm to either side.
    found = assumed(Instrument("T1", "tachometer", kind), speed=3000 * RPM, on="2026-01-01")
    assert found.half_width == pytest.approx(3000 * share * RPM)


def test_never_under_one_digit():
    # By hand: 1 % of 100 rpm is 1 rpm; its display shows tens.
    coarse = Instrument("T1", "tachometer", "optical", resolution=10 * RPM)
    assert assumed(coarse, speed=100 * RPM, on="").half_width == pytest.approx(10 * RPM)


def test_nobody_said_with_what_is_the_widest_bound():
    assert assumed(None, speed=3000 * RPM, on="").half_width == pytest.approx(150 * RPM)


@pytest.mark.parametrize(
    ("dates", "share"),
    [
        ({"due_on": "2026-06-01"}, None),  # checked and in date: its own plate counts, not as a bound
        ({"due_on": "2026-01-01"}, 0.01),  # overdue: twice its 0.2 % is less than its kind's 1 %
        ({"due_on": "2026-01-01", "accuracy": 0.007}, 0.014),
        ({"bought_on": "2025-09-01"}, 0.005),  # as bought: half its kind's at least
        ({"bought_on": "2025-09-01", "accuracy": 0.008}, 0.008),
        ({"bought_on": "2024-09-01"}, 0.01),  # bought over a year ago and never checked: overdue
        ({}, 0.01),
    ],
)
def test_dates_say_whether_its_own_figure_is_believed(dates, share):
    found = assumed(replace(PLATE, **dates), speed=3000 * RPM, on="2026-03-01")
    assert (found is None) == (share is None)
    assert share is None or found.half_width == pytest.approx(3000 * share * RPM)
