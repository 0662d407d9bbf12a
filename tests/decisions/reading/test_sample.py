"""Readings of one setting are one sample, however often somebody looked."""

import math

import pytest

from benchmarks.looks import Scene, lower_bound, passes
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.reading import Reading
from snath.decisions.reading.sample import sample
from snath.decisions.reading.typed import typed_reading
from snath.quantities.message import Message
from tests.machines import RPM, rpm

KNOWN = Instrument("T1", "tachometer", accuracy=0.001, resolution=10 * RPM, due_on="2099-01-01")


def test_one_reading_scatters_by_what_is_assumed():
    # By hand: 0.5 % of 3,600 is 18 rpm; at 2,400 the least counts, 15 rpm.
    for speed, u in ((3600, 18), (2400, 15)):
        (line,) = sample([typed_reading([speed * RPM])]).plain.lines
        assert (line.u, line.dof) == (pytest.approx(u * RPM), 2)


def test_three_readings_are_pooled_with_what_is_assumed_as_with_two_more():
    # By hand: 3,590, 3,600, 3,610: squares 200; 2 x 18^2 + 200 = 848; / 4 = 212; / 3 = 70.67: u = 8.406 rpm.
    three = [typed_reading([speed * RPM]) for speed in (3590, 3600, 3610)]
    (line,) = sample(three).plain.lines
    assert (line.u, line.dof) == (pytest.approx(8.406 * RPM, rel=1e-3), 4)
    together = sample([typed_reading([speed * RPM for speed in (3590, 3600, 3610)])])
    assert together.value == pytest.approx(sample(three).value) or together.value.u == pytest.approx(
        sample(three).value.u
    )


def test_what_the_instrument_brings_does_not_shrink_by_reading_again_and_half_a_digit_is_taken_whole():
    # By hand: 0.1 % of 3,600 is 3.6 rpm, over sqrt 3 = 2.078; half of the last digit of 10 rpm is 5 rpm.
    for count in (1, 10):
        found = sample([typed_reading([3600 * RPM], instrument=KNOWN)] * count)
        (plate,) = [
            line for line in found.value.lines if line.source == Message("budget.accuracy", instrument="T1")
        ]
        assert plate.u == pytest.approx(3.6 / math.sqrt(3) * RPM)
        assert found.off == pytest.approx(5 * RPM)


def test_a_stated_doubt_stays_whole_and_the_finer_reading_counts_for_more():
    # By hand: weights 1/4 and 1/3600: (3,400/4 + 3,440/3,600)/(0.25028) = 3,400.04.
    readings = [Reading(value=rpm(3400, 2), decided=True), Reading(value=rpm(3440, 60), decided=True)]
    found = sample(readings)
    assert found.value.value == pytest.approx(3400.04 * RPM, abs=0.01 * RPM)
    assert found.plain.u == pytest.approx(2.06 * RPM, rel=0.01)
    assert sample(readings[:1] * 5).plain.u == pytest.approx(2 * RPM)


def test_readings_of_different_speeds_are_told():
    # By hand: 3 x sqrt 2 x 18 rpm = 76.4 rpm at 3,600.
    for apart, told in ((76, False), (78, True)):
        pair = [typed_reading([speed * RPM]) for speed in (3600 - apart / 2, 3600 + apart / 2)]
        assert sample(pair).apart == told


@pytest.mark.parametrize(
    "scene",
    [
        Scene("one length", "checked", 30.0, 1.0),
        Scene("one length", "checked", 5.0, 10.0),
        Scene("one length", "stated", 5.0, 1.0),
        Scene("belts", "unknown", 15.0, 1.0),
    ],
    ids=str,
)
def test_who_stops_at_the_first_pass_within_ten_passes_at_most_one_in_twenty_on_the_limit(scene):
    # Property, of 600 drawn machines each: the one-sided 99 % lower bound is at most 5 %. `python -m benchmarks looks`
    # counts 20,000 of every case.
    found = passes(scene, 600, 20)
    assert lower_bound(int(found.any(axis=1).sum()), 600) <= 0.05


def test_the_promise_bites():
    # By hand: with a scatter of 60 rpm, twice what the promise reaches to, more than one in ten stops at a pass.
    found = passes(Scene("one length", "checked", 60.0, 1.0), 300, 20)
    assert lower_bound(int(found.any(axis=1).sum()), 300) > 0.05
