"""The next setting: worked out in between, never past the ceiling, never while it hunts."""

from dataclasses import replace

import numpy as np
import pytest

from snath.decisions.behaviour.checklist import ChecklistResult
from snath.decisions.behaviour.setting import SettingInput, next_setting
from snath.decisions.behaviour.setting_curve import Pair, SettingPoint
from snath.quantities.measured import Line, Measured
from snath.words.render import ENGLISH, say
from tests.told import refused

READY = ChecklistResult((), (), ("as found", "as left"), (), may_set=True, outcome="", notes=())


def point(position, rpm, u=0.0, idle=None):
    lines = (Line(f"reading at {position}", u / 60),) if u else ()
    return SettingPoint(position, Measured(rpm / 60, lines), idle)


def asked(*points, kind="turns", target=3200, low=3170, high=3230, ceiling=3455):
    return SettingInput(kind, points, target / 60, low / 60, high / 60, ceiling / 60)


def test_between_two_turns_the_next_is_read_off():
    # By hand: 3,000 rpm at 0, 3,400 at 2 turns. Straight: 3,200 at 1.000; in squares: (3200^2 - 3000^2) /
    # (3400^2 - 3000^2) x 2 = 0.9688; midway 0.9844 turns.
    got = next_setting(asked(point(0, 3000), point(2, 3400)), hunts=False, checked=READY)
    assert got.advice == "set to"
    assert got.position == pytest.approx(0.9844, abs=5e-5)
    assert got.predicted.value * 60 == pytest.approx(3200, abs=0.2)
    assert "setting.from-below" in [step.code for step in got.steps]
    assert "setting.no-mixture" in [step.code for step in got.steps]


def test_its_uncertainty_covers_a_governor_that_follows_the_square():
    # Truth: speed^2 straight in turns, read with u = 8 rpm; 95 % means at most 5 % above `upper`; of
    # 400 draws more than 8 % would come up less than once in 300.
    generator = np.random.default_rng(51)
    over = 0
    for _ in range(400):
        squares = 3000.0**2 + (3400.0**2 - 3000.0**2) / 2 * np.array([0.0, 2.0])
        read = np.sqrt(squares) + 8 * generator.standard_normal(2)
        got = next_setting(asked(point(0, read[0], 8), point(2, read[1], 8)), hunts=False, checked=READY)
        true = np.sqrt(3000.0**2 + (3400.0**2 - 3000.0**2) / 2 * got.position)
        over += true / 60 > got.upper
    assert over <= 0.08 * 400


@pytest.mark.parametrize("speeds", [(2600, 2700), (3000, 3100), (3420, 3440), (3500, 3600), (2000, 3450)])
@pytest.mark.parametrize("backwards", [False, True])
def test_no_advice_is_ever_expected_past_the_ceiling(speeds, backwards):
    # Property: whatever was measured, where it says to set is under the ceiling with 95 %.
    places = (2.0, 0.0) if backwards else (0.0, 2.0)
    given = asked(
        point(places[0], speeds[0], 15), point(places[1], speeds[1], 15), target=3440, low=3400, high=3455
    )
    got = next_setting(given, hunts=False, checked=READY)
    if got.advice in ("set to", "leave it"):
        assert got.upper <= given.ceiling + 1e-12


def test_a_step_past_what_was_measured_is_no_further_than_they_lie_apart():
    # Property: 2,600 and 2,650 rpm half a turn apart do not send anybody six turns up.
    got = next_setting(asked(point(0, 2600), point(0.5, 2650)), hunts=False, checked=READY)
    assert got.position == pytest.approx(1.0)
    assert got.why.code == "setting.step-past"


def test_notches_are_whole():
    got = next_setting(asked(point(1, 3000), point(5, 3400), kind="notches"), hunts=False, checked=READY)
    # By hand: 100 rpm a notch: notch 3.
    assert got.position == 3.0


def test_half_a_notch_is_refused():
    with refused(r"position = 1\.5: must be a whole number for notches"):
        next_setting(asked(point(1.5, 3000), kind="notches"), hunts=False, checked=READY)


def test_spring_holes_are_never_worked_out_in_between():
    between = asked(point(1, 3000), point(2, 3400), kind="spring holes")
    assert next_setting(between, hunts=False, checked=READY).advice == "no choice fits"
    below = asked(point(1, 2800), point(2, 3000), kind="spring holes")
    got = next_setting(below, hunts=False, checked=READY)
    assert got.advice == "measure another"
    assert got.position is None
    measured = asked(point(1, 3000), point(3, 3210), point(2, 3400), kind="spring holes")
    assert next_setting(measured, hunts=False, checked=READY).position == 3


def test_while_it_hunts_there_is_no_advice():
    got = next_setting(asked(point(0, 3000), point(2, 3400)), hunts=True, checked=READY)
    assert (got.advice, got.position, got.steps) == ("repair first", None, ())


def test_open_checks_and_a_sealed_governor_come_first():
    waiting = replace(READY, open_before_setting=("Engine warm, choke fully off.",), may_set=False)
    got = next_setting(asked(point(0, 3000), point(2, 3400)), hunts=False, checked=waiting)
    assert got.advice == "checks first"
    assert "choke" in say(got.why, ENGLISH)
    sealed = replace(READY, outcome="The governor is sealed.", may_set=False)
    got = next_setting(asked(point(0, 3000), point(2, 3400)), hunts=True, checked=sealed)
    assert got.advice == "not adjustable here"


def test_not_knowing_whether_it_hunts_is_not_taken_for_steady():
    got = next_setting(asked(point(0, 3000), point(2, 3400)), hunts=None, checked=READY)
    assert got.advice == "checks first"


def test_in_the_band_it_is_left_with_a_word_on_idle():
    given = replace(
        asked(point(0, 3000), point(1, 3205, idle=1500 / 60)), idle_low=1650 / 60, idle_high=1850 / 60
    )
    got = next_setting(given, hunts=False, checked=READY)
    assert got.advice == "leave it"
    assert got.why.code == "setting.idle-off"


def test_one_setting_is_not_enough():
    assert next_setting(asked(point(0, 3000)), hunts=False, checked=READY).advice == "measure another"
    same = next_setting(asked(point(0, 3000), point(1, 3000)), hunts=False, checked=READY)
    assert same.advice == "measure another"


def test_a_band_over_the_ceiling_is_refused():
    with refused(r"set_high = .* rpm: must not be above the ceiling, 3,200 rpm"):
        next_setting(asked(point(0, 3000), ceiling=3200), hunts=False, checked=READY)


def test_a_band_upside_down_is_refused():
    given = asked(point(0, 3000))
    swapped = replace(given, set_low=given.set_high, set_high=given.set_low)
    with refused(r"set_low = .* rpm: must not be above the other end of the band"):
        next_setting(swapped, hunts=False, checked=READY)


def test_the_two_readings_of_the_curve_meet_at_the_measured_settings():
    # Property: at both ends the speed is the one that was read.
    pair = Pair(point(0, 3000), point(2, 3400))
    assert pair.speed_at(0).value == pytest.approx(50.0)
    assert pair.speed_at(2).value == pytest.approx(3400 / 60)
