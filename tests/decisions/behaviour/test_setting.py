"""The next setting: worked out in between, never past the ceiling, never while it hunts."""

from dataclasses import replace

import numpy as np
import pytest

from benchmarks.unseen.drawn import ranges
from benchmarks.unseen_settings import FAMILIES, followed
from snath.decisions.behaviour.checklist import ChecklistResult
from snath.decisions.behaviour.setting import next_setting
from snath.decisions.behaviour.setting_curve import Curves
from snath.decisions.behaviour.setting_input import SettingInput, SettingPoint
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
    # (3400^2 - 3000^2) x 2 = 0.9688; midway 0.9844 turns. Straight in n^1.5, in the middle of both: 0.9843.
    got = next_setting(asked(point(0, 3000), point(2, 3400)), hunts=False, checked=READY)
    assert got.advice == "set to"
    assert got.position == pytest.approx(0.9844, abs=3e-4)
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


def test_a_step_past_what_was_measured_is_at_most_twice_what_they_lie_apart():
    # Property: 2,600 and 2,650 rpm half a turn apart do not send anybody six turns up: 0.5 + 2 x 0.5.
    got = next_setting(asked(point(0, 2600), point(0.5, 2650)), hunts=False, checked=READY)
    assert got.position == pytest.approx(1.5)
    assert got.why.code == "setting.step-past"


def test_a_setting_that_was_never_read_is_opened_slowly_first():
    # Common practice, no source: what sticks comes out faster than worked out: nobody goes straight to full throttle.
    got = next_setting(asked(point(0, 3000), point(2, 3400)), hunts=False, checked=READY)
    assert got.steps[0].code == "setting.open-slowly"


def test_only_what_lies_over_the_ceiling_is_said_to():
    # By hand: ceiling 3,455. 3,380 and 3,430 lie under it: a step as wide as the one that was tried; 3,500 and 3,700
    # lie over it: five such steps, the farthest.
    near = next_setting(asked(point(0, 3380, 8), point(0.25, 3430, 8)), hunts=False, checked=READY)
    over = next_setting(asked(point(0, 3500, 5), point(0.25, 3700, 5)), hunts=False, checked=READY)
    assert (near.position, near.why.code) == (-0.25, "setting.not-surely-under")
    assert near.steps[0].code == "setting.open-slowly"  # wherever it is sent to a place never read
    assert (over.position, over.why.code) == (-1.25, "setting.both-over")


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
    assert (got.advice, got.predicted, got.why.code) == ("measure another", None, "setting.try-this-hole")
    assert got.position == 3  # by hand: 200 rpm a hole; named to be tried, with no speed worked out for it
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


def test_a_governor_that_follows_the_square_lies_inside_what_the_curves_say():
    # Truth: speed squared straight in turns; read without doubt at -1, 0 and 2 turns, asked in between and past them.
    def true(turns):
        return np.sqrt(3000.0**2 + 640_000 * turns)

    curves = Curves(asked(*(point(turns, true(turns)) for turns in (-1, 0, 2))))
    for turns in (-0.5, 1.0, 3.0):
        low, high = (curves.stays_under(turns, chance) * 60 for chance in (0.025, 0.975))
        assert low < true(turns) < high
        assert high - low < 0.06 * true(turns)


def test_two_notches_side_by_side_around_the_band_end_it():
    # By hand: notch 2 reads 3,120, notch 3 reads 3,290; between them lies the band, 3,170 to 3,230, and no notch.
    got = next_setting(
        asked(point(3, 3290, 5), point(2, 3120, 5), kind="notches"), hunts=False, checked=READY
    )
    assert (got.advice, got.why.code) == ("no choice fits", "setting.none-between")
    # Two apart they end nothing: the notch between them is tried.
    got = next_setting(
        asked(point(4, 3290, 5), point(2, 3120, 5), kind="notches"), hunts=False, checked=READY
    )
    assert (got.advice, got.position) == ("set to", 3)


def test_steps_of_forty_rpm_are_not_crept_along_one_by_one():
    # Property: 400 rpm under the band and 40 rpm a notch are not ten settings.
    got = next_setting(
        asked(point(0, 2800, 3), point(4, 2960, 3), kind="notches"), hunts=False, checked=READY
    )
    assert got.position >= 8


def test_a_notch_that_may_pass_the_ceiling_is_not_tried():
    # By hand: 150 rpm a notch, now 3,160: the next gives about 3,310 with the ceiling at 3,315 and readings of 10 rpm.
    given = asked(
        point(0, 3010, 10), point(1, 3160, 10), kind="notches", target=3290, low=3270, high=3312, ceiling=3330
    )
    got = next_setting(given, hunts=False, checked=READY)
    assert (got.advice, got.why.code) == ("no choice fits", "setting.next-may-pass")


def test_after_five_tries_that_do_not_repeat_the_linkage_is_named():
    # One turn gives 100 rpm; settings within 0.2 turns of each other come out up to 140 rpm apart.
    tried = [(0, 3000), (2, 3236), (1.9, 3120), (2.1, 3260), (2.0, 3130), (1.95, 3250)]
    got = next_setting(asked(*(point(p, n, 4) for p, n in tried)), hunts=False, checked=READY)
    assert (got.advice, got.why.code) == ("no choice fits", "setting.not-repeated")
    assert 20 < got.why.values["scatter"].value * 60 < 150
    assert "play out of the linkage" in say(got.why, ENGLISH)


def test_a_reading_too_doubtful_for_the_room_under_the_ceiling_is_told():
    # By hand: 3,235 - 1.645 x 60 lies under the band's lower end, 3,170.
    given = asked(point(0, 3000, 60), point(4, 3400, 60), ceiling=3235)
    assert next_setting(given, hunts=False, checked=READY).why.code == "setting.read-surer"


@pytest.mark.parametrize("family", FAMILIES)
def test_whoever_follows_it_ends_and_never_over_the_ceiling(family):
    # Another road: adjusters by other laws, with play, friction, uneven holes and an engine that warms.
    for case in range(40):
        one = FAMILIES[family].adjuster(ranges("settings", family), np.random.default_rng((1919, case)))
        how, tried, highest = followed(one)
        assert how in ("leave it", "no choice fits")
        assert tried <= 7
        assert highest <= one.ceiling
