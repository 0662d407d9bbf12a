"""Is every limit carried back right, and does the worst one bind?"""

from dataclasses import replace

import pytest

from snath.decisions.job.work import work
from snath.decisions.machine.parts import CRANKSHAFT, Engine, Machine, Member, Size
from snath.quantities.message import Message
from tests.machines import RPM, deck, direct, figure, inches, job


def test_a_21_inch_blade_on_the_crankshaft_stops_at_3455_9_rpm():
    # By hand: 19,000 / (pi 21/12) = 3455.9 rpm.
    window = work(job(direct(inches(21)))).window
    assert window.ceiling == pytest.approx(3455.9 * RPM, abs=0.05 * RPM)
    assert window.binding == "blade"
    assert window.setting == "not known"
    assert window.target is None


def test_a_28_inch_blade_needs_0_72_of_3600():
    # By hand: 19,000 / (pi 28/12) = 2591.9 rpm at the blade; by a 4.5 on 6.25 in pair by outside 0.72 exactly and by
    # datum (4.25/6.0) 0.70833; the faster blade is by outside: 2591.9/0.72 = 3599.9 rpm.
    machine = deck({"spindle": (28, 4.5, 6.25)}, rated_max=3600 * RPM)
    window = work(job(machine)).window
    assert window.ceiling == pytest.approx(3599.9 * RPM, abs=0.07 * RPM)
    assert window.binding == "spindle blade"


def test_the_worst_convention_is_the_datum_when_the_drive_speeds_up():
    # By hand: 5.0 on 3.0 in: outside 1.6667, datum 4.75/2.75 = 1.7273. 18 in blade: 19,000/(pi 1.5) = 4031.9 rpm,
    # so 2334.3 rpm by datum counts, not 2419.1.
    machine = deck({"spindle": (18, 5.0, 3.0)})
    window = work(job(machine)).window
    assert window.ceiling == pytest.approx(2334.3 * RPM, abs=0.05 * RPM)
    assert [b.alternative for b in window.bounds if b.worst] == [
        Message("window.seen", names=("as it is", "by datum diameter"))
    ]


def test_the_larger_of_worn_and_new_blade_counts():
    # By hand: 19,000 / (pi 20.75/12) = 3497.5; / (pi 21/12) = 3455.9 counts.
    sizes = (Size("as it is", inches(20.75)), Size("new", inches(21)))
    machine = direct(inches(21))
    machine = replace(machine, members=(Member("blade", CRANKSHAFT, "blade", sizes),))
    assert work(job(machine)).window.ceiling == pytest.approx(3455.9 * RPM, abs=0.05 * RPM)


def test_an_alternator_has_a_floor_at_its_loaded_end():
    # By hand: 2 poles, 57 to 63 Hz: 3420 to 3780 rpm; the floor is loaded, with 5 % droop 3420 x 1.05 = 3591 no load.
    alternator = Member("alternator", CRANKSHAFT, "alternator", poles=2, frequency_min=57, frequency_max=63)
    machine = Machine("set", "generator", Engine(droop=0.05), (), (alternator,))
    window = work(job(machine)).window
    assert (window.floor, window.ceiling) == (pytest.approx(3591 * RPM), pytest.approx(3780 * RPM))
    without = work(job(replace(machine, engine=Engine()))).window
    assert without.floor == pytest.approx(3420 * RPM)
    assert Message("window.floor-loaded") in without.notes


def test_an_inverter_has_no_frequency_limit():
    alternator = Member("alternator", CRANKSHAFT, "alternator", poles=2, frequency_max=63, inverter=True)
    machine = Machine("set", "generator", Engine(rated_max=4000 * RPM), (), (alternator,))
    assert work(job(machine)).window.binding == "engine"


def test_the_floor_allows_the_slip_its_belt_states():
    # By hand: a pump that needs 1000 rpm behind 0.6 or 2.75/4.75, slip 2 %: 1000/(0.57895 x 0.98) = 1762.5 rpm.
    machine = deck({"spindle": (18, 3.0, 5.0)})
    pump = Member("pump", "spindle", "pump", speed_min=1000 * RPM)
    window = work(job(replace(machine, members=(*machine.members, pump)))).window
    assert window.floor == pytest.approx(1762.5 * RPM, abs=0.05 * RPM)


def test_the_makers_figure_inside_becomes_the_target_with_room_kept():
    # By hand: ceiling 3455.9, kept 10 rpm; figure 3300 +- 100: band 3200 to 3400.
    window = work(job(direct(inches(21), maker_no_load=figure(3300)))).window
    assert window.target == pytest.approx(3300 * RPM)
    assert (window.set_low, window.set_high) == (pytest.approx(3200 * RPM), pytest.approx(3400 * RPM))
    near = work(job(direct(inches(21), maker_no_load=figure(3440)))).window
    assert near.set_high == pytest.approx(3445.9 * RPM, abs=0.05 * RPM)


def test_a_makers_figure_above_the_ceiling_says_stop():
    window = work(job(direct(inches(21), maker_no_load=figure(3600)))).window
    assert window.setting == "stop"
    assert window.target is None


def test_a_tape_widens_pass_and_fail_to_both_sides():
    # By hand: tape +-1/16 in rectangular: u(D) = 0.0625/sqrt(3) = 0.036084 in, relative 0.0017183 of 21 in;
    # 1.6449 x 0.0017183 x 3455.9 = 9.768 rpm.
    window = work(job(direct(inches(21, 1 / 16)))).window
    assert window.pass_below == pytest.approx((3455.9 - 9.77) * RPM, abs=0.06 * RPM)
    assert window.fail_above == pytest.approx((3455.9 + 9.77) * RPM, abs=0.06 * RPM)


def test_a_machine_without_limits_has_no_ceiling():
    machine = Machine("bare", "other", Engine(), (), ())
    window = work(job(machine)).window
    assert not window.feasible
    assert window.ceiling is None


def test_every_member_of_a_three_spindle_deck_is_listed_with_its_own_limit():
    # By hand: odd right sheave 4.5 in against 5.0: ratio 3/4.5 = 0.66667 outside; 18 in: 4031.9/0.66667 = 6047.9.
    machine = deck({"left": (18, 3, 5), "centre": (18, 3, 5), "right": (18, 3, 4.5)})
    window = work(job(machine)).window
    assert window.binding == "right blade"
    assert window.ceiling == pytest.approx(6047.9 * RPM, abs=0.1 * RPM)
    assert {b.member for b in window.bounds} == {"left blade", "centre blade", "right blade"}


def test_the_engines_own_lowest_speed_is_not_raised_by_the_droop():
    # By hand: 3,000 rpm is a no-load figure already; with 8 % of droop on top it would be 3,240.
    machine = direct(inches(21), rated_min=3000 * RPM, droop=0.08)
    assert work(job(machine)).window.floor == pytest.approx(3000 * RPM)


def test_a_tapes_doubt_and_the_instruments_both_keep_the_band_from_the_ceiling():
    # By hand: 21 in +- 1/8 in: u = 0.125 / sqrt(3) / 21 x 3,455.9 = 11.88 rpm, so it passes below 3,455.9 - 1.6449
    # x 11.88 = 3,436.4; one step of 10 rpm and no instrument leave 3,426.4 of the figure's 3,440 + 50.
    machine = direct(inches(21, 0.125), maker_no_load=figure(3440, 50))
    assert work(job(machine)).window.set_high == pytest.approx(3426.4 * RPM, abs=0.1 * RPM)


def test_a_target_cut_off_by_the_band_is_printed_inside_it():
    # By hand: 10 rpm of room under 3,583.6 leave 3,573.6, printed 3,573, not 3,574.
    machine = direct(inches(18), rated_max=3583.6 * RPM, maker_no_load=figure(3580))
    window = work(job(machine)).window
    assert (window.target, window.set_high) == (pytest.approx(3573 * RPM), pytest.approx(3573.6 * RPM))
