import pytest

from snath.decisions.reading.compared import SOURCE, Comparison, checked, with_comparisons
from snath.decisions.reading.reading import Reading
from snath.quantities.measured import Line, Measured

READING = Reading(method="sound", value=Measured(50.0, (Line("x", 0.03),)), decided=True, confirmed=False)


def beside(off, u=0.01, method="sound"):
    """A recording `off` (share) over a tachometer at 50 rev/s, both with standard uncertainty `u`."""
    return Comparison(method, 50.0 * (1 + off), u, 50.0, u)


def test_three_comparisons_that_agree_lift_not_yet_checked():
    assert not with_comparisons(READING, [beside(0.0)] * 2).confirmed
    assert with_comparisons(READING, [beside(0.0)] * 3).confirmed
    assert not with_comparisons(READING, [beside(0.0, method="light")] * 3).confirmed


def test_what_agrees_within_its_doubt_adds_none():
    assert with_comparisons(READING, [beside(0.0001)] * 3).value == READING.value


def test_a_difference_beyond_the_claimed_doubt_becomes_a_budget_line():
    # By hand: off by 0.4 % three times, claimed u of the share 0.01/50 * sqrt 2 = 0.0283 % (and 0.01/50.2):
    # excess sqrt(0.4^2 - 0.0283^2) = 0.399 %, of 50 rev/s 0.1995.
    checked_reading = with_comparisons(READING, [beside(0.004)] * 3)
    line = checked_reading.value.lines[-1]
    assert line.source == SOURCE
    assert line.u == pytest.approx(0.1995, abs=5e-5)
    assert not checked_reading.confirmed


def test_a_contradiction_is_said_and_confirms_nothing():
    found = with_comparisons(READING, [beside(0.0)] * 5 + [beside(-0.5)])
    assert not found.confirmed
    assert "contradicted" in found.why
    assert checked([beside(0.0)] * 5 + [beside(-0.5)], "sound").contradicts


def test_no_comparisons_change_nothing():
    assert with_comparisons(READING, ()) is READING
