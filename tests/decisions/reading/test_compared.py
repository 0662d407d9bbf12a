from dataclasses import replace

import pytest

from snath.decisions.reading.budget import cause
from snath.decisions.reading.compared import BIAS, Comparison, checked, with_comparisons
from snath.decisions.reading.reading import Reading
from snath.quantities.measured import Line, Measured, quotient
from snath.quantities.message import Message

READING = Reading(method="sound", value=Measured(50.0, (Line("x", 0.03),)), decided=True, confirmed=False)


def beside(off, u=0.01, method="sound", recorder=""):
    """A recording `off` (share) over a tachometer at 50 rev/s, both with standard uncertainty `u`."""
    return Comparison(method, 50.0 * (1 + off), u, 50.0, u, recorder=recorder)


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
    assert line.source == BIAS
    assert line.u == pytest.approx(0.1995, abs=5e-5)
    assert not checked_reading.confirmed


def test_a_contradiction_is_said_and_confirms_nothing():
    found = with_comparisons(READING, [beside(0.0)] * 5 + [beside(-0.5)])
    assert not found.confirmed
    assert found.why == Message("reading.but-contradicted", why="")
    assert checked([beside(0.0)] * 5 + [beside(-0.5)], "sound").contradicts


def test_no_comparisons_change_nothing():
    assert with_comparisons(READING, ()) is READING


def test_bias_and_spread_are_a_line_each():
    # By hand: off by 0.2, 0.4 and 0.6 %: mean 0.4 %, standard deviation 0.2 % (two degrees of freedom). Both
    # figures at 50 rev/s with u = 0: nothing was claimed, so 50 * 0.4 % = 0.2 and 50 * 0.2 % = 0.1 rev/s.
    found = with_comparisons(READING, [beside(share, u=0.0) for share in (0.002, 0.004, 0.006)])
    bias, spread = found.value.lines[-2:]
    assert (bias.source, bias.dof, spread.dof) == (BIAS, 2, 2)
    assert bias.u == pytest.approx(0.2, rel=1e-9)
    assert spread.u == pytest.approx(0.1, rel=1e-9)
    # By hand: 0.03 of its own, 0.2 and 0.1: the root of 0.0509.
    assert found.value.u == pytest.approx(0.0509**0.5, rel=1e-9)
    assert found.value.value == READING.value.value


def test_what_was_claimed_is_taken_off_both_by_their_shares():
    # By hand: u of 0.1 rev/s each at about 50 claims 2 * 0.002^2 = 8e-6; mean square 16e-6 and variance 4e-6 make
    # 20e-6, so 1 - 8/20 = 0.6 is left of both (the recordings are up to 0.6 % over 50, hence the tolerance).
    check = checked([beside(share, u=0.1) for share in (0.002, 0.004, 0.006)], "sound")
    assert check.bias**2 == pytest.approx(0.6 * 16e-6, rel=5e-3)
    assert check.spread**2 == pytest.approx(0.6 * 4e-6, rel=5e-3)


def test_two_readings_share_the_bias_and_not_the_spread():
    # By hand: the mean difference is one cause, so it takes itself out of a ratio of two readings; the spread does not.
    shop = [beside(share, u=0.0) for share in (0.002, 0.004, 0.006)]
    first = with_comparisons(replace(READING, evidence="a" * 64), shop).value
    second = with_comparisons(replace(READING, evidence="b" * 64), shop).value
    left = quotient(first, second)
    assert BIAS not in {line.source for line in left.lines}
    # By hand: 0.2 % twice, independent.
    spread = [line.u for line in left.lines if cause(line) == "budget.comparisons"]
    assert spread == pytest.approx([0.002, -0.002], rel=1e-9)


def test_a_named_phone_is_only_checked_by_its_own_comparisons():
    shop = [beside(0.0, recorder="drawer phone")] * 3 + [beside(0.004, recorder="old phone")] * 3
    assert with_comparisons(READING, shop, recorder="drawer phone").value == READING.value
    assert with_comparisons(READING, shop, recorder="drawer phone").confirmed
    assert with_comparisons(READING, shop, recorder="old phone").value.lines[-1].source == BIAS
    assert with_comparisons(READING, shop, recorder="new phone") is READING
    assert checked(shop, "sound").count == 6
