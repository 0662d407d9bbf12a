"""From the loaded speed a customer wants to the no-load speed a limit allows, and back."""

import pytest

from snath.decisions.behaviour.complaint import from_loaded, to_loaded
from snath.quantities.measured import Line, Measured, exact
from tests.told import refused


def test_3600_rpm_under_load_asks_for_3744_rpm_with_four_per_cent_droop():
    # By hand: 3600 x 1.04 = 3744; a ceiling of 3,455 rpm leaves 3455 / 1.04 = 3322 rpm under load.
    got = from_loaded(loaded=exact(60.0), droop=exact(0.04), ceiling=3455 / 60)
    assert got.no_load.value * 60 == pytest.approx(3744)
    assert got.allowed is False
    assert got.most_loaded.value * 60 == pytest.approx(3455 / 1.04)
    assert got.missing * 60 == pytest.approx(3600 - 3455 / 1.04)


def test_what_a_limit_allows_is_said_so():
    got = from_loaded(loaded=exact(3000 / 60), droop=exact(0.04), ceiling=3455 / 60)
    assert got.allowed is True
    assert got.missing == 0.0


def test_doubt_in_the_droop_counts_against_the_wish():
    # By hand: 3,320 rpm loaded, 4 % droop: 3,452.8 rpm, 2.2 rpm under the ceiling; u of the droop 0.1 %
    # is 3.3 rpm, and 1.645 x 3.3 reaches over it.
    sure = from_loaded(loaded=exact(3320 / 60), droop=exact(0.04), ceiling=3455 / 60)
    unsure = from_loaded(
        loaded=exact(3320 / 60), droop=Measured(0.04, (Line("droop", 0.001),)), ceiling=3455 / 60
    )
    assert sure.allowed is True
    assert unsure.allowed is False


def test_there_and_back_is_the_same_speed():
    # Property: the two undo each other.
    top = from_loaded(loaded=exact(51.0), droop=exact(0.05), ceiling=None).no_load
    assert to_loaded(no_load=top, droop=exact(0.05)).value == pytest.approx(51.0)


def test_a_droop_given_in_per_cent_is_refused():
    with refused(r"droop = 4: must be at least 0 and at most 0\.5"):
        from_loaded(loaded=exact(60.0), droop=exact(4.0), ceiling=None)
