from dataclasses import replace

import pytest

from snath.decisions.machine.parts import Coupling, Engine, Machine, MakerFigure, Member, Ratio, Size
from snath.decisions.reading.from_sound import (
    BLADES_OFF,
    HOLD,
    NO_OTHER,
    orders_from_machine,
    reading_from_sound,
)
from snath.decisions.reading.steady_states import ALONE
from snath.formulas.signals.candidates import Candidate, Driven, Track
from snath.formulas.signals.sound_answer import CHANGES, IN_PART, SECOND
from snath.formulas.signals.sound_result import SoundResult
from snath.quantities.measured import Line, Measured, exact
from snath.quantities.message import Message

ENGINE = Engine(strokes=4, cylinders=1, idle=30.0, rated_max=60.0)
BELT = Coupling(
    "crankshaft", "spindle", (Ratio("by datum", exact(1.2)), Ratio("outside", exact(1.25))), kind="belt"
)
MOWER = Machine("mower", "ride-on mower", ENGINE, (BELT,), (Member("blade", "spindle", "blade"),))


def heard(**changed):
    one = Candidate(50.0, 0.03, 0.99, "comb", "fits")
    value = Measured(50.0, (Line("phone clock", 0.003), Line("sound: noise", 0.03)))
    result = SoundResult(Track("crankshaft", (), (), ()), value, (one,), True, duration=5.0)
    return replace(result, **changed)


def test_the_range_runs_from_half_idle_to_one_and_a_half_times_rated():
    # By hand: 30 / 2 = 15 and 1.5 x 60 = 90 rev/s.
    orders = orders_from_machine(MOWER)
    assert (orders.rev_s_low, orders.rev_s_high) == (15.0, 90.0)


def test_a_two_stroke_of_unknown_rated_speed_is_listened_for_as_far_as_a_saw_runs():
    # 15,000 rpm at a saw's limiter, 3,600 of a mower: common practice, no source. A saw at 8,800 rpm with strong and
    # weak strokes has all the lines of 4,400: that must not be the only speed in the range.
    for strokes, top in ((2, 15_000), (4, 1.5 * 3600)):
        bare = replace(MOWER, engine=replace(ENGINE, strokes=strokes, rated_max=None))
        assert orders_from_machine(bare).rev_s_high * 60 == pytest.approx(top)


def test_no_limit_target_or_makers_figure_moves_what_is_listened_for():
    # Property: signals must not know what anybody hopes to read.
    hopeful = replace(
        MOWER,
        engine=replace(
            ENGINE, maker_no_load=MakerFigure(50.0, 1.0, "blades in air"), rated_min=40.0, droop=0.1
        ),
        members=(replace(MOWER.members[0], speed_max=52.0, sizes=(Size("new", exact(0.5)),)),),
    )
    assert orders_from_machine(hopeful) == orders_from_machine(MOWER)


def test_a_belt_driven_blade_is_listened_for_below_its_ratio_as_belts_slip():
    # Property: slip only makes the driven shaft slower.
    (blade,) = orders_from_machine(MOWER).driven
    assert blade.ratio_low < 1.2 < 1.25 < blade.ratio_high
    assert 1.2 - blade.ratio_low > blade.ratio_high - 1.25


def test_a_blade_on_the_crankshaft_has_the_ratio_one():
    direct = replace(MOWER, couplings=(), members=(Member("blade", "crankshaft", "blade"),))
    assert orders_from_machine(direct).driven == (Driven(1.0, 1.0, 2),)


def test_without_a_sheet_the_range_is_open_and_the_firing_unknown():
    # 700 and 15 000 rpm: common practice, no source.
    orders = orders_from_machine(None)
    assert (orders.rev_s_low * 60, orders.rev_s_high * 60) == pytest.approx((700, 15_000))
    assert orders.firings is None


def test_a_twin_whose_firing_the_sheet_leaves_open_stays_open():
    twin = replace(MOWER, engine=replace(ENGINE, cylinders=2))
    assert orders_from_machine(twin).firings is None
    assert Message("sound.say-firing") in reading_from_sound(heard(decided=False), twin).next_steps


def test_one_speed_becomes_a_reading_that_is_not_confirmed_until_the_shop_has_checked_sound():
    reading = reading_from_sound(heard(), MOWER, evidence="ab" * 32, at="2026-05-01T10:00:00+00:00")
    assert reading.decided
    assert reading.value == heard().steady
    assert not reading.confirmed
    assert reading_from_sound(heard(), MOWER, confirmed=True).confirmed


def test_several_speeds_stay_candidates_without_a_value():
    two = (Candidate(50.0, 0.03, 0.55), Candidate(25.0, 0.02, 0.4))
    reading = reading_from_sound(heard(candidates=two, decided=False), None)
    assert not reading.decided
    assert reading.value is None
    assert reading.candidates == two
    assert reading.why == Message("sound.several")
    assert Message("sound.say-strokes") in reading.next_steps


@pytest.mark.parametrize("note", [CHANGES, IN_PART])
def test_what_changes_or_is_heard_in_part_is_settled_by_reading_a_stretch(note):
    # A pulse pick-up or a mark would only show the same change again.
    reading = reading_from_sound(heard(decided=False, notes=(note,)), MOWER)
    assert (reading.why, reading.next_steps) == (note, (ALONE, HOLD))


def test_a_second_engine_is_named_and_asked_to_be_silent():
    # Property: a pulse pick-up would do too, but the easiest is to record this engine alone.
    reading = reading_from_sound(heard(decided=False, notes=(SECOND,)), MOWER)
    assert (reading.why, reading.next_steps) == (SECOND, (NO_OTHER,))


@pytest.mark.parametrize("clutch", [True, False])
def test_blades_are_asked_to_be_off_only_where_a_clutch_lets_them(clutch):
    two = (Candidate(50.0, 0.03, 0.55), Candidate(25.0, 0.02, 0.4))
    reading = reading_from_sound(
        heard(candidates=two, decided=False), replace(MOWER, engine=replace(ENGINE, clutch=clutch))
    )
    assert (BLADES_OFF in reading.next_steps) is clutch
