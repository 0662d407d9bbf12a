"""What must never come out as a pass, and what must not be condemned for the wrong reason."""

from dataclasses import replace

import pytest

from snath.decisions.behaviour.asked import GovernorInput
from snath.decisions.behaviour.governor import judge_governor
from snath.decisions.job.job import Stage
from snath.decisions.job.work import work
from snath.decisions.machine.parts import CRANKSHAFT, Coupling, Engine, Machine, Member, Ratio, Size
from snath.decisions.reading.reading import Reading
from snath.decisions.verdict.band import Bench, Way, band
from snath.decisions.verdict.decide import judge
from snath.decisions.verdict.pools import Tools
from snath.decisions.window.limits import limits_of
from snath.quantities.measured import Line, Measured, exact
from snath.quantities.message import Amount, Message
from snath.rules.load import shipped_rules
from tests.machines import RPM, blade, deck, direct, figure, inches, job, rpm


def reading(value: float, u: float = 5, **more: object) -> Reading:
    return Reading(value=rpm(value, u), decided=True, **more)


def codes(things) -> list[str]:
    return [thing.code if isinstance(thing, Message) else thing for thing in things]


def verdict(machine: Machine, *readings: Reading):
    return work(replace(job(machine), as_found=Stage(readings))).as_found.stands


def engine_alone(**engine: object) -> Machine:
    return Machine("bench engine", "other", Engine(**engine))


def test_two_limits_marked_on_one_wheel_are_cleared_one_by_one():
    # By hand: 60 m/s on 14 in is 60 / (pi 0.3556) = 53.71 rev/s, 3,222 rpm; 5,000 rpm is marked beside it.
    # Twice 3,300 +- 60 rpm clears the 5,000 and never the 60 m/s.
    wheel = Member(
        "wheel", CRANKSHAFT, "wheel", (Size("", inches(14)),), speed_max=5000 * RPM, surface_max=60.0
    )
    saw = Machine("saw", "cut-off saw", Engine(), (), (wheel,))
    found = verdict(saw, reading(3300, 60), reading(3300, 60))
    assert found.word == "undecided"
    assert {member.kind: member.word for member in found.members} == {
        "shaft speed": "pass",
        "surface speed": "undecided",
    }


@pytest.mark.parametrize("kind", ["blade", "string head", "disc", "wheel"])
def test_a_thrower_no_limit_speaks_of_is_not_cleared_by_the_engines_own(kind):
    # The book has no tip speed for a tiller; 3,000 rpm is well under this engine's 3,600.
    thrower = Member("rotor", CRANKSHAFT, kind, (Size("", inches(30)),))
    found = verdict(Machine("tiller", "tiller", Engine(rated_max=60.0), (), (thrower,)), reading(3000))
    assert (found.word, found.limits) == ("undecided", "undecided")
    assert Message("verdict.unlimited", member="rotor") in found.reasons
    assert found.settle[0] == Message("verdict.look-up-limit", member="rotor")


def test_two_readings_do_not_clear_it_either():
    tiller = Machine("tiller", "tiller", Engine(rated_max=60.0), (), (blade(inches(30)),))
    assert verdict(tiller, reading(3000), reading(3000)).word == "undecided"


def test_the_window_says_which_part_it_does_not_cover():
    tiller = Machine("tiller", "tiller", Engine(rated_max=60.0), (), (blade(inches(30)),))
    window = work(job(tiller)).window
    assert Message("window.not-covered", name="blade") in window.notes
    assert window.uncovered == ("blade",)


def test_over_another_limit_it_fails_all_the_same():
    tiller = Machine("tiller", "tiller", Engine(rated_max=60.0), (), (blade(inches(30)),))
    assert verdict(tiller, reading(3700)).word == "fail"


@pytest.mark.parametrize("times", [1, 2])
def test_a_machine_with_a_floor_and_no_ceiling_is_not_cleared(times):
    found = verdict(engine_alone(rated_min=50.0), *[reading(3300)] * times)
    assert (found.word, found.limits) == ("undecided", "undecided")


def test_a_hunt_seen_in_one_reading_keeps_the_others_of_that_setting_from_passing():
    found = verdict(direct(inches(21)), reading(3000), reading(3000, hunting=20 * RPM))
    assert found.word == "undecided"
    assert "verdict.hunts" in codes(found.reasons)


def test_a_sound_never_held_beside_a_tachometer_passes_nothing_at_any_speed():
    # Property: 21 in allows 3,455 rpm; however far under it an uncompared sound lies, it is an indication only.
    for speed in (1000, 2500, 3400):
        heard = reading(speed, 1, method="sound", confirmed=False)
        assert verdict(direct(inches(21)), heard, heard, heard).word == "undecided"
    assert verdict(direct(inches(21)), reading(4000, 1, method="sound", confirmed=False)).word == "fail"


@pytest.mark.parametrize("order", [1, -1])
def test_what_a_reading_clears_a_contradicting_one_takes_back(order):
    # By hand: 3,000 and 3,450 rpm, u = 5 rpm each, are 450 / sqrt(50) = 64 standard uncertainties apart, and
    # 3,455.9 - 1.645 x 5 = 3,447.7: the second does not pass by itself.
    found = verdict(direct(inches(21)), *(reading(3000), reading(3450))[::order])
    assert found.word == "undecided"
    assert "verdict.apart" in codes(found.reasons)


def test_a_coarse_reading_gives_way_to_a_fine_one_that_agrees_with_it():
    # By hand: 3,440 +- 60 and 3,400 +- 2 rpm are 40 / 60 = 0.7 standard uncertainties apart.
    assert verdict(direct(inches(21)), reading(3440, 60), reading(3400, 2)).word == "pass"


def test_blades_off_and_blades_in_air_may_differ():
    rider = direct(inches(21), clutch=True, rated_max=3600 * RPM)
    found = verdict(rider, reading(3450, condition="blades off"), reading(3300))
    assert found.word == "pass"


def test_a_loaded_reading_does_not_condemn_the_engines_no_load_floor():
    # 3,100 rpm without load is over the maker's least 3,000; 2,900 while cutting is its droop, not a fault.
    engine = engine_alone(rated_min=50.0, rated_max=60.0)
    assert verdict(engine, reading(2900, condition="cutting"), reading(3100)).word == "pass"
    assert verdict(engine, reading(2900)).word == "fail"


def test_a_peak_does_not_clear_the_engines_floor():
    engine = engine_alone(rated_min=50.0, rated_max=60.0)
    assert verdict(engine, reading(3100, condition="peak")).word == "undecided"


def test_dragging_blades_do_not_condemn_the_engines_floor_where_they_can_be_disengaged():
    engine = engine_alone(rated_min=50.0, rated_max=60.0, clutch=True)
    words = {m.side: m.word for m in verdict(engine, reading(2990, 1)).members}
    assert words["floor"] == "undecided"
    words = {m.side: m.word for m in verdict(engine, reading(2990, 1, condition="blades off")).members}
    assert words["floor"] == "fail"


def test_a_pump_behind_a_belt_of_unstated_slip_is_not_known_to_be_fast_enough():
    # Without slip 3,050 x 0.9 = 2,745 rpm; 2 % of slip leaves 2,690, under the pump's 2,700.
    belt = Coupling(CRANKSHAFT, "pump shaft", (Ratio("as counted", exact(0.9)),), kind="belt")
    pump = Member("pump", "pump shaft", "pump", speed_min=2700 * RPM, unlimited="its plate")
    washer = Machine("washer", "pressure washer", Engine(rated_max=60.0), (belt,), (pump,))
    readings = (reading(3050, condition="cutting"), reading(3500))
    assert verdict(washer, *readings).work == "open"
    stated = replace(washer, couplings=(replace(belt, slip_max=0.01),))
    assert verdict(stated, *readings).work == "enough"


@pytest.mark.parametrize("u", [5, 200])
def test_on_the_figure_itself_it_is_in_however_small_the_tolerance(u):
    # The maker's line has no guard band; a limit has: 3,000 +- 1.645 x 200 stays under 3,455.9.
    machine = direct(inches(21), maker_no_load=figure(3000, tolerance=0))
    assert verdict(machine, reading(3000, u)).maker == "in"


def test_off_a_figure_without_tolerance_it_is_out():
    # By hand: 3,000 - 1.6449 x 5 = 2,991.8: 2,991 is out on the one side, 3,009 on the other.
    machine = direct(inches(21), maker_no_load=figure(3000, tolerance=0))
    assert [verdict(machine, reading(at)).maker for at in (2991, 2993, 3007, 3009)] == [
        "out",
        "undecided",
        "undecided",
        "out",
    ]


def test_nothing_is_promised_of_a_reading_that_cannot_pass():
    # A loaded or hunting reading never passes: lowering the setting alone would not help.
    machine = direct(inches(21))
    for read in (reading(3440, 10, condition="cutting"), reading(3440, 10, hunting=RPM)):
        assert verdict(machine, read).set_between is None


def test_readings_of_one_setting_that_are_not_of_one_speed_prove_nothing():
    # By hand: 3,000 and 3,430 with u = 5 rpm each are 61 combined standard uncertainties apart.
    found = verdict(direct(inches(21)), reading(3000), reading(3430))
    assert (found.word, codes(found.reasons)[0]) == ("undecided", "verdict.apart")


def test_a_slower_reading_that_clears_nothing_takes_nothing_back():
    # An unchecked sound 400 rpm lower gives no cause to doubt a tachometer's pass under the ceiling.
    found = verdict(direct(inches(21)), reading(3400, 1), reading(3000, 1, confirmed=False))
    assert found.word == "pass"


def test_three_standard_uncertainties_are_what_parts_two_readings():
    # By hand: u = 30 and 40 rpm together make 50; a second reading 149 rpm higher agrees, 151 does not.
    # Together, weighted by 1/u^2: about 3,310 with some 34 rpm, far under 3,455.9.
    machine = direct(inches(21))
    assert verdict(machine, reading(3400 - 149 + 5, 30), reading(3405, 40)).word == "pass"
    assert verdict(machine, reading(3400 - 151 + 5, 30), reading(3405, 40)).word == "undecided"


def test_a_floor_cleared_under_load_is_taken_back_by_a_slower_loaded_reading():
    # By hand: the pump needs 2,700; 2,708 - 1.645 x 5 = 2,699.8 is open, and 92 / sqrt(50) = 13 apart. Read at 3,500
    # without load, it may fall by its droop to 3,182: enough as well, but nothing stands that contradicts itself.
    pump = Member("pump", CRANKSHAFT, "pump", speed_min=2700 * RPM, unlimited="its plate")
    washer = Machine("washer", "pressure washer", Engine(rated_max=60.0), (), (pump,))
    loaded = reading(2800, condition="cutting")
    assert verdict(washer, loaded, reading(3500)).work == "enough"
    slower = reading(2708, condition="cutting")
    assert verdict(washer, loaded, slower, reading(2900)).work == "open"


def test_slip_before_a_reading_may_lift_what_it_says_of_a_floor():
    # By hand: 2,600 rpm at the spindle, behind 0.9 with up to 10 % slip, is 2,889 to 3,210 rpm at the crankshaft:
    # a pump there that needs 3,000 may have it, so nothing is condemned.
    belt = Coupling(CRANKSHAFT, "spindle", (Ratio("as counted", exact(0.9)),), kind="belt", slip_max=0.1)
    pump = Member("pump", CRANKSHAFT, "pump", speed_min=3000 * RPM)
    washer = Machine("washer", "pressure washer", Engine(rated_max=75.0), (belt,), (pump,))
    at_spindle = reading(2600, 1, shaft="spindle", condition="cutting")
    assert verdict(washer, at_spindle).word == "undecided"
    assert verdict(replace(washer, couplings=(replace(belt, slip_max=0.01),)), at_spindle).word == "fail"
    assert verdict(replace(washer, couplings=(replace(belt, slip_max=None),)), at_spindle).word == "undecided"


def test_reading_the_engine_with_blades_off_is_advised_only_where_they_can_be_disengaged():
    machine = direct(inches(21), rated_max=3600 * RPM)
    lone = reading(3300, confirmed=False)
    assert "verdict.read-blades-off" not in codes(verdict(machine, lone).settle)
    clutched = direct(inches(21), rated_max=3600 * RPM, clutch=True)
    assert "verdict.read-blades-off" in codes(verdict(clutched, lone).settle)


def test_what_a_drive_leaves_open_is_sent_to_the_blade_in_the_air_and_never_a_decided_machine():
    # By hand: a 21 in blade may make 3,455.9 rpm; 5 on 5.5 in is 0.909 by outside or 0.905 by datum diameter, so that
    # the engine may make 3,801 or 3,819 rpm, and 3,810 with the blades off lies between.
    machine = deck({"spindle": (21, 5, 5.5)}, rated_max=4000 * RPM, clutch=True)
    found = verdict(machine, reading(3810, condition="blades off"))
    assert found.word == "undecided"
    assert {"verdict.read-in-air", "verdict.read-at-shaft"} <= set(codes(found.settle))
    (at_shaft,) = [step for step in found.settle if step.code == "verdict.read-at-shaft"]
    assert at_shaft.values["shaft"] == "spindle"
    counted = replace(machine, couplings=tuple(replace(one, parts=()) for one in machine.couplings))
    assert "verdict.count-turns" not in codes(verdict(counted, reading(3810, condition="blades off")).settle)
    geared = Coupling(CRANKSHAFT, "spindle", (Ratio("teeth", exact(0.909)),), kind="gear")
    known = replace(machine, couplings=(geared,))
    assert "verdict.read-at-shaft" not in codes(verdict(known, reading(3800, 10)).settle)
    steps = {"verdict.read-in-air", "verdict.read-at-shaft", "verdict.count-turns"}
    assert steps.isdisjoint(codes(verdict(machine, reading(3300, condition="blades off")).settle))
    assert steps.isdisjoint(codes(verdict(direct(inches(21)), reading(3455, 10)).settle))


def test_out_of_the_makers_figure_in_one_of_two_readings_fails_the_stage():
    # By hand: 3,000 +- 20; 3,000 and 3,100 rpm, u = 5 rpm each, both far under the 3,455.9 of a 21 in blade.
    machine = direct(inches(21), maker_no_load=figure(3000, tolerance=20))
    for order in (1, -1):
        found = verdict(machine, *(reading(3000), reading(3100))[::order])
        assert (found.word, found.maker, found.green) == ("fail", "out", False)


def test_a_tachometer_that_would_decide_must_decide_every_ceiling():
    # By hand: 3,445 rpm is 10.9 under the blade's 3,455.9 and 15 under an engine's 3,460: 10.9 / 1.6449 = 6.6
    # rpm is needed, +-11 rpm on a plate (times sqrt(3)); the engine alone would do with 9.1, +-15 rpm.
    found = verdict(direct(inches(21), rated_max=3460 * RPM), reading(3445, 10))
    (finer,) = [step for step in found.settle if step.code == "verdict.finer-instrument"]
    assert finer.values["half_width"].value == pytest.approx(11.5 * RPM, abs=0.05 * RPM)


def test_an_engine_already_over_is_not_sent_to_be_read_with_its_blades_off():
    # 3,602 rpm of 3,600 with blades in air: with the blades off it is faster still.
    machine = direct(inches(12), rated_max=3600 * RPM, clutch=True)
    found = verdict(machine, reading(3602, 10))
    assert found.word == "undecided"
    assert "verdict.read-blades-off" not in codes(found.settle)


def test_the_crankshaft_takes_nothing_back_that_was_read_at_the_blade():
    # By hand: 3 on 5 in is 0.6 or 0.57895; at 4,100 rpm a 30 in blade's 2,419 is met or not. Read at the blade,
    # 2,374 rpm clears it, and 4,100 beside it is no other speed.
    found = verdict(deck({"spindle": (30, 3, 5)}), reading(4100, 1), reading(2374, 5, shaft="spindle"))
    assert found.word == "pass"


def test_a_makers_figure_left_open_by_both_readings_leaves_the_stage_open():
    # By hand: 3,000 +- 20 read at 3,022 with u = 5 rpm: past its end, and not surely.
    machine = direct(inches(21), maker_no_load=figure(3000, tolerance=20))
    found = verdict(machine, reading(3022), reading(3022))
    assert (found.word, found.maker) == ("undecided", "undecided")


def test_a_cause_that_reading_and_limit_share_is_taken_off_once():
    # By hand: a ratio counted to 1 % with u = 1 % of it. Blade in air read at the crankshaft, 1 rpm under its
    # limit there: the ratio blurs the limit by 1 % and nothing takes it off, so it is open. Where the reading
    # itself was made with that ratio, as 2,419 x 1.25 rpm would be, the same cause stands in both and cancels.
    shared = Line("ratio as counted", 0.01 * 0.8)
    belt = Coupling(
        CRANKSHAFT, "spindle", (Ratio("as counted", Measured(0.8, (shared,))),), kind="counted", slip_max=0.0
    )
    machine = replace(direct(inches(30)), couplings=(belt,), members=(blade(inches(30), "spindle"),))
    crank = 2410 / 0.8
    drawn = Line("ratio as counted", -0.01 * crank * RPM)
    own = Reading(value=Measured(crank * RPM, (drawn,)), decided=True)
    assert verdict(machine, own).word == "pass"
    assert verdict(machine, reading(crank, 0.01 * crank)).word == "undecided"


def test_a_swing_lowers_what_fails_and_what_keeps_a_floor():
    # By hand: 3,455.9 + 1.6449 x 10 - 60 = 3,412.4 is where a mean fails whose swing reaches 60 rpm higher.
    found = verdict(direct(inches(21)), reading(3400, 10, hunting=60 * RPM))
    assert found.fail_above == pytest.approx(3412.4 * RPM, abs=0.1 * RPM)
    # An engine at 3,010 of at least 3,000 rpm dips to 2,950 in its swing.
    dips = verdict(engine_alone(rated_min=50.0, rated_max=60.0), reading(3010, 1, hunting=60 * RPM))
    assert {m.side: m.word for m in dips.members}["floor"] == "fail"


@pytest.mark.parametrize("condition", ["blades in air", "peak"])
@pytest.mark.parametrize("kind", ["belt", "variable"])
def test_nothing_before_a_drive_of_unstated_slip_is_cleared_behind_it(kind, condition):
    drive = Coupling(CRANKSHAFT, "spindle", (Ratio("as counted", exact(0.9)),), kind=kind)
    machine = replace(engine_alone(rated_max=60.0), couplings=(drive,))
    assert verdict(machine, reading(2900, shaft="spindle", condition=condition)).word == "undecided"


def test_a_pump_on_the_crankshaft_of_a_clutch_machine_is_not_cleared_with_the_blades_in_air():
    # Property: with the blades off the engine, and the pump with it, turns faster; the blade does not.
    machine = direct(inches(21), clutch=True)
    pump = Member("pump", CRANKSHAFT, "pump", speed_max=3450 * RPM)
    found = verdict(replace(machine, members=(*machine.members, pump)), reading(3300))
    assert {m.member: m.word for m in found.members} == {"blade": "pass", "pump": "undecided"}


def test_a_lively_engine_is_judged_by_the_highest_speed_it_goes_to():
    # By hand: 3,440 + 1.6449 x 5 = 3,448.2 clears the 3,455.9 of 21 in; 10 rpm higher, 3,458.2, it does not. A hunting
    # one passes at no speed, and both are over where their edge is: 3,460 + 20 - 8.2 = 3,471.8.
    machine = direct(inches(21))
    limits = limits_of(machine, shipped_rules(), market="")

    def word(speed: float, **seen: object) -> str:
        return judge(machine, limits, [reading(speed)], decision="one-sided 95 %", **seen).word

    assert word(3440) == "pass"
    assert word(3440, rise=10 * RPM) == "undecided"
    assert word(3000, rise=10 * RPM, hunts=True) == "undecided"
    assert word(3460, rise=20 * RPM) == "fail"
    found = judge(machine, limits, [reading(3300)], decision="one-sided 95 %", rise=10 * RPM)
    assert "verdict.lively" in codes(found.reasons)


def test_what_a_governor_shows_above_its_mean_counts_where_it_hunts_or_is_lively_and_not_where_it_is_noise():
    quiet = judge_governor(GovernorInput(no_load=rpm(3300, 1)))
    shown = replace(quiet, reach=12 * RPM)
    assert (shown.rise, replace(shown, hunts=True).rise) == (0.0, 12 * RPM)
    lively = Message("governor.lively", height=Amount(12 * RPM, "rotation"))
    assert replace(shown, notes=(lively,)).rise == 12 * RPM


def test_the_band_to_set_a_lively_machine_in_ends_by_as_much_earlier():
    # By hand: 3,447.7 at u = 5 rpm, and 10 rpm less.
    machine = direct(inches(21))
    held = Bench(machine, limits_of(machine, shipped_rules(), market=""), "one-sided 95 %", Tools())
    way = Way(stated_u=5 * RPM)
    steady, lively = band(held, way), band(replace(held, rise=10 * RPM), way)
    assert steady.high - lively.high == pytest.approx(10 * RPM, abs=0.01 * RPM)
    assert band(replace(held, hunts=True), way) is None


@pytest.mark.parametrize(
    ("spindle", "fits"),
    [(2350, True), (2260, True), (2415, True), (2440, False), (2230, False), (1200, False)],
)
def test_two_shafts_that_the_drive_cannot_turn_so_pass_nothing(spindle: int, fits: bool):
    # By hand: 4 on 5 in is 0.8 outside, 3.75 / 4.75 = 0.7895 at the datum; 3,000 rpm make 2,400 or 2,368, less 4 %
    # of slip 2,274. Three combined u of 5 rpm each are 3 x hypot(5, 0.8 x 5) = 19: from 2,255 to 2,419 both can be.
    machine = deck({"spindle": (18, 4, 5)})
    found = verdict(machine, reading(3000), reading(spindle, shaft="spindle"))
    assert ("verdict.against-the-drive" in codes(found.reasons)) is not fits
    assert (found.limits == "under") is fits


def test_what_was_read_under_load_or_without_drive_contradicts_no_other_shaft():
    # By hand: 3,000 rpm make 2,400 at most; 2,160 is 10 % of slip, which a belt under load may have.
    machine = deck({"spindle": (18, 4, 5)}, clutch=True)
    for condition, spindle in (("cutting", 2160), ("blades off", 300)):
        found = verdict(
            machine,
            reading(3000, condition=condition),
            reading(spindle, shaft="spindle", condition=condition),
        )
        assert "verdict.against-the-drive" not in codes(found.reasons)


def test_what_is_over_at_one_shaft_still_fails_where_the_other_contradicts_it():
    # By hand: 19,000 x 12 / (pi 18) = 4,032 of the blade itself.
    found = verdict(deck({"spindle": (18, 4, 5)}), reading(3000), reading(4200, shaft="spindle"))
    assert (found.word, found.limits) == ("fail", "over")
