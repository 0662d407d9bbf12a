import numpy as np
import pytest

from benchmarks.simulator.edges import PickUp, edges, wheel
from benchmarks.simulator.ride import ride
from snath.formulas.signals.pulses.edges import alone
from snath.formulas.signals.pulses.read import CHANGES, TEETH, speed_from_pulses
from snath.quantities.message import Message
from tests.told import refused

SECONDS = 5.0


def log(places, *, seed, profile="steady", every=1, missed=0.05, doubled=0.05):
    """A simulated log with its exact truth: 5 % of the edges missed and 5 % doubled."""
    generator = np.random.default_rng(seed)
    rev_s = generator.uniform(25, 66)
    going = ride(profile, rev_s=rev_s, seconds=SECONDS, cycle_turns=2, jitter=0.005, generator=generator)
    pick_up = PickUp(places, missed, doubled, min(0.002, 0.3 / (rev_s * len(places))), 2e-6, every)
    return going, edges(going, pick_up, seconds=SECONDS, generator=generator)


def error(going, t, result):
    """Share by which the speed is off the turns really made between its first and its last pulse."""
    return result.steady.value / going.speed_over(*(t[0] + s for s in result.span_s)) - 1


@pytest.mark.parametrize("profile", ["steady", "drift", "hunting", "ramp", "step"])
@pytest.mark.parametrize(
    ("places", "every", "per_turn"),
    [
        ((0.0,), 1, 1.0),
        ((0.0,), 2, 0.5),
        (wheel(12), 1, 12.0),
        (wheel(36, (0, 1)), 1, None),
        (wheel(60, (0, 1)), 1, None),
    ],
)
def test_missed_and_doubled_edges_leave_the_speed_within_a_thousandth_of_a_percent(
    profile, places, every, per_turn
):
    # Another road: the simulator's own angle; the limit is the one the method is built for.
    for seed in range(3):
        going, t = log(places, seed=seed, profile=profile, every=every)
        result = speed_from_pulses(t, per_turn=per_turn)
        assert result.decided
        assert abs(error(going, t, result)) < 1e-5


def test_what_was_missed_and_doubled_is_counted():
    going, t = log((0.0,), seed=4)
    del going
    clean = speed_from_pulses(t, per_turn=1)
    # By hand: about 5 % of 125 to 330 edges; four standard deviations of that count.
    assert 1 <= clean.missed <= 35
    assert 1 <= clean.doubled <= 35
    none_lost = speed_from_pulses(np.arange(100) * 0.02, per_turn=1)
    assert (none_lost.missed, none_lost.doubled) == (0, 0)


@pytest.mark.parametrize(
    ("teeth", "gone"), [(36, (0,)), (36, (0, 1)), (60, (5, 6)), (36, (0, 1, 20)), (24, (0,))]
)
def test_a_wheel_with_missing_teeth_is_recognised_by_its_gaps(teeth, gone):
    _, t = log(wheel(teeth, gone), seed=7)
    result = speed_from_pulses(t)
    assert result.decided
    assert result.per_turn == teeth
    assert result.found == Message("pulses.wheel", places=teeth, empty=len(gone))


def test_teeth_stated_wrongly_are_not_believed():
    _, t = log(wheel(36, (0,)), seed=8)
    result = speed_from_pulses(t, per_turn=60)
    assert not result.decided
    assert {c.order.values["marks"] for c in result.candidates} == {36.0, 60.0}
    assert result.notes == (Message("pulses.stated-otherwise", told=60.0, every=36.0),)


def test_teeth_may_be_stated_with_or_without_the_missing_ones():
    _, t = log(wheel(36, (0,)), seed=8)
    assert speed_from_pulses(t, per_turn=35).per_turn == speed_from_pulses(t, per_turn=36).per_turn == 36


def test_even_pulses_of_unknown_number_leave_every_factor_of_two_open():
    # By hand: 50 pulses/s are 50 rev/s at one a turn, 100 at one in two turns, 25 at two a turn.
    result = speed_from_pulses(np.arange(200) * 0.02)
    assert not result.decided
    assert sorted(round(c.rev_s, 6) for c in result.candidates) == [25.0, 50.0, 100.0]


def test_a_range_may_leave_one_of_them():
    result = speed_from_pulses(np.arange(200) * 0.02, rev_s_low=40, rev_s_high=90)
    assert result.decided
    assert result.steady.value == pytest.approx(50)


@pytest.mark.parametrize("places", [(0.0, 0.4), (0.0, 0.3, 0.7)])
def test_unevenly_placed_marks_are_followed_one_by_one(places):
    going, t = log(places, seed=11, missed=0.0, doubled=0.0)
    result = speed_from_pulses(t, per_turn=len(places))
    assert result.decided
    assert abs(error(going, t, result)) < 1e-5


@pytest.mark.parametrize("profile", ["steady", "drift", "step"])
@pytest.mark.parametrize("places", [(0.0, 0.4), (0.0, 0.3, 0.7)])
def test_unevenly_placed_marks_with_faults_are_right_or_undecided(places, profile):
    decided = 0
    for seed in range(12):
        going, t = log(places, seed=seed, profile=profile)
        result = speed_from_pulses(t, per_turn=len(places))
        decided += result.decided
        assert not result.decided or abs(error(going, t, result)) < 1e-5
    assert decided >= 6


@pytest.mark.parametrize(
    ("places", "profile", "seed"),
    [
        ((0.0, 0.4), "step", 70),
        ((0.0, 0.3, 0.7), "step", 39),
        ((0.0, 0.3, 0.7), "ramp", 10),
        ((0.0, 0.3, 0.7), "ramp", 84),
    ],
)
def test_a_chain_that_slips_to_the_next_mark_is_followed_no_further(places, profile, seed):
    # Another road: the simulator's own angle. In these logs a chain from one end alone slips, by 0.04 to 0.14 %.
    going, t = log(places, seed=seed, profile=profile)
    result = speed_from_pulses(t, per_turn=len(places))
    assert result.decided
    assert abs(error(going, t, result)) < 1e-5


def test_a_stated_number_that_the_marks_contradict_leaves_both_standing():
    # By hand: two marks at 0 and 0.4 turn; four a turn would be half the speed, three two thirds of it.
    for stated in (3, 4):
        _, t = log((0.0, 0.4), seed=11, missed=0.0, doubled=0.0)
        result = speed_from_pulses(t, per_turn=stated)
        assert not result.decided
        assert len(result.candidates) == 2


def test_a_pattern_of_several_turns_is_not_taken_for_one_where_the_marks_are_stated():
    # Another road: the simulator's own angle. Without the stated two, five turns of ten marks fit this list best.
    generator = np.random.default_rng((187, 7, 4))
    rev_s = generator.uniform(25, 66)
    going = ride("step", rev_s=rev_s, seconds=SECONDS, cycle_turns=2, jitter=0.005, generator=generator)
    pick_up = PickUp((0.0, 0.4), 0.05, 0.05, 0.002, 2e-6)
    t = edges(going, pick_up, seconds=SECONDS, generator=generator)
    result = speed_from_pulses(t, per_turn=2)
    assert not result.decided or abs(error(going, t, result)) < 1e-5


def test_one_mark_of_a_hunting_engine_is_not_taken_for_uneven_ones():
    # Another road: the simulator's own angle; sparks every second turn, half a second of them to a swing.
    decided = 0
    for seed in range(12):
        going, t = log((0.0,), seed=seed, profile="hunting", every=2)
        result = speed_from_pulses(t, per_turn=0.5)
        decided += result.decided
        assert not result.decided or abs(error(going, t, result)) < 1e-5
    assert decided >= 11


def test_marks_that_come_round_in_another_time_than_at_first_tell_nothing():
    # By hand: three marks a turn for 15 turns, then two: no number of marks holds for the whole list.
    first = np.concatenate([[k, k + 0.3, k + 0.7] for k in range(15)])
    rest = np.concatenate([[k, k + 0.4] for k in range(15, 150)])
    assert not speed_from_pulses(np.concatenate([first, rest]) / 50, per_turn=3).decided


def test_a_list_with_bounces_is_not_counted_from_its_first_pulse_and_one_without_is():
    # By hand: pulses 20 ms apart, the first 0.6 ms late; with a bounce elsewhere it may be one itself, else not.
    t = np.arange(60) * 0.02
    t[0] = 0.0006
    assert alone(t, 0.009).all()
    with_bounce = np.sort(np.append(t, t[30] + 0.001))
    assert np.flatnonzero(~alone(with_bounce, 0.009)).tolist() == [0, 30, 31]


def test_a_log_that_begins_with_a_bounce_is_not_counted_from_it():
    # By hand: marks at 0 and 0.4 turn, 50 rev/s; 1 ms late is 0.05 turn, which over 100 turns would be 0.05 %.
    t = np.sort(np.concatenate([np.arange(100.0), np.arange(100.0) + 0.4])) / 50
    t[0] += 0.001
    result = speed_from_pulses(t, per_turn=2)
    assert result.decided
    assert result.steady.value == pytest.approx(50, rel=1e-9)


def test_the_stated_interval_covers_the_speed_the_governor_meant():
    # Property: a 95 % interval (1.96 u) covers 93 to 100 % of truths; of 60 logs at least 52 (binomial 1 %).
    hits = 0
    for seed in range(60):
        generator = np.random.default_rng(seed)
        going = ride("steady", rev_s=50.0, seconds=SECONDS, cycle_turns=2, jitter=0.005, generator=generator)
        t = edges(going, PickUp(), seconds=SECONDS, generator=generator)
        steady = speed_from_pulses(t, per_turn=1).steady
        hits += abs(steady.value - 50.0) < 1.96 * steady.u
    assert hits >= 52


def test_cycle_speeds_and_their_jitter_come_out():
    # Property: the jitter put in, 0.5 % of a cycle of two turns; a robust estimate from 125 cycles, to a third.
    generator = np.random.default_rng(5)
    going = ride("steady", rev_s=50.0, seconds=SECONDS, cycle_turns=2, jitter=0.005, generator=generator)
    t = edges(going, PickUp(every=2), seconds=SECONDS, generator=generator)
    result = speed_from_pulses(t, per_turn=0.5)
    assert result.jitter == pytest.approx(0.005, rel=0.35)
    assert len(result.track.t_s) > 100


def test_random_pulses_give_no_speed():
    t = np.sort(np.random.default_rng(2).uniform(0, 5, 400))
    assert not speed_from_pulses(t).decided


@pytest.mark.parametrize("t", [[], [0.1], [0.1, 0.2, 0.3], [1.0] * 50, np.arange(9) * 1e-9])
def test_too_few_or_impossible_pulses_are_a_result_not_a_crash(t):
    result = speed_from_pulses(np.asarray(t, dtype=float), per_turn=1)
    assert not result.decided
    assert result.notes


def test_pulses_that_run_backwards_are_refused():
    with refused("one after the other"):
        speed_from_pulses([0.0, 0.2, 0.1, 0.3])


@pytest.mark.parametrize("second", [0.1, 0.2, 0.25, 0.3, 0.45])
@pytest.mark.parametrize("lost", [(), (101,), (20, 21, 77)])
def test_the_number_told_is_of_marks_and_not_of_places(second, lost):
    # By hand: 50 rev/s, two marks; at 0.1 turn they stand on two of ten places, at 0.25 on two of four.
    t = np.sort(np.concatenate([np.arange(100.0), np.arange(100.0) + second])) / 50
    result = speed_from_pulses(np.delete(t, lost), per_turn=2)
    assert result.decided
    assert result.steady.value == pytest.approx(50, rel=1e-6)


@pytest.mark.parametrize("marks", [3, 7, 20, 60])
def test_any_layout_is_told_by_the_repeat_of_its_gaps(marks):
    # Another road: the simulator's own angle. 2 % lost, 2 % doubled; asked for: none wrong, most of them decided.
    decided = 0
    for seed in range(6):
        generator = np.random.default_rng((marks, seed))
        places = np.sort(generator.uniform(0, 1 - 0.006 * marks, marks)) + 0.006 * np.arange(marks)
        going, t = log(tuple(places), seed=seed, missed=0.02, doubled=0.02)
        result = speed_from_pulses(t, per_turn=marks)
        decided += result.decided
        assert not result.decided or abs(error(going, t, result)) < 1e-3
    assert decided >= 4


def test_a_layout_told_twice_over_leaves_both_standing():
    # By hand: nine marks at 50 rev/s, told as 18: half of it.
    places = np.array([0, 0.05, 0.16, 0.2, 0.33, 0.5, 0.56, 0.71, 0.9])
    t = np.sort((np.arange(120.0)[:, None] + places).ravel()) / 50
    result = speed_from_pulses(t, per_turn=18)
    assert not result.decided
    assert sorted(round(c.rev_s) for c in result.candidates) == [25, 50]


def test_teeth_that_nobody_told_are_not_read_as_a_mark():
    # By hand: twelve teeth at 50 rev/s are 600 pulses a second, more than turns of any shaft here.
    result = speed_from_pulses(np.arange(3000) / 600)
    assert not result.decided
    assert result.notes[0] == TEETH


def test_a_start_is_no_speed():
    # By hand: one mark, 158 rpm rising evenly to 1,689 rpm in 4 s: no one speed was held.
    turns = np.arange(1, 61)
    slope = (1689 - 158) / 60 / 4
    t = (-158 / 60 + np.sqrt((158 / 60) ** 2 + 2 * slope * turns)) / slope
    generator = np.random.default_rng(3)
    rough = t + 0.004 * generator.standard_normal(t.size)
    result = speed_from_pulses(rough[rough < 4], per_turn=1)
    assert not result.decided or result.steady.u < 0.02 * result.steady.value


def test_nothing_is_decided_whose_doubt_is_over_two_percent():
    # By hand: a mark at 50 rev/s, the second half at half of that: the mean is held nowhere.
    t = np.concatenate([np.arange(100) / 50, 2 + np.arange(1, 50) / 25])
    result = speed_from_pulses(t, per_turn=1)
    assert not result.decided
    assert result.notes[0] == CHANGES


@pytest.mark.parametrize("seed", range(4))
def test_a_burst_of_noise_is_not_counted(seed):
    # By hand: 40 rev/s, one mark or five, and 0.2 s of noise at three times their rate.
    generator = np.random.default_rng(seed)
    for places in ((0.0,), (0.0, 0.13, 0.3, 0.52, 0.8)):
        clean = np.sort((np.arange(200.0)[:, None] + np.array(places)).ravel()) / 40
        noise = 2 + generator.uniform(0, 0.2, 24 * len(places))
        result = speed_from_pulses(np.sort(np.concatenate([clean, noise])), per_turn=len(places))
        assert not result.decided or result.steady.value == pytest.approx(40, rel=1e-3)


@pytest.mark.parametrize(
    ("off", "top", "decided"),
    [(0.0, 500.0, False), (0.01, 500.0, False), (0.1, 500.0, True), (0.0, 80.0, True)],
    ids=["opposite", "nearly opposite", "clearly off", "cannot turn twice as fast"],
)
def test_two_marks_that_look_like_one_leave_the_doubled_speed_standing(off, top, decided):
    # By hand: 50 rev/s; marks at 0 and half a turn make 100 pulses a second, as one mark does at 100 rev/s. Off by
    # 0.01 of a turn their gaps are 0.51 and 0.49 of one, 4 % apart.
    turn = np.arange(200) / 50
    t = np.sort(np.concatenate([turn, turn + (0.5 + off) / 50]))
    t = t + 1e-5 * np.random.default_rng(3).standard_normal(t.size)
    got = speed_from_pulses(np.sort(t), per_turn=2, rev_s_high=top)
    assert got.decided is decided
    assert got.steady.value == pytest.approx(50, rel=1e-3)
    doubled = [c for c in got.candidates if c.rev_s == pytest.approx(100, rel=1e-3)]
    assert bool(doubled) is not decided


def test_one_of_two_marks_never_seen_is_not_decided_at_half_the_speed():
    # By hand: 50 rev/s, one pulse a turn, two marks told; the turns of a cycle differ by 2 %, as compression does it.
    gaps = np.tile([0.0198, 0.0202], 100)
    got = speed_from_pulses(np.cumsum(gaps), per_turn=2)
    assert not got.decided
    assert "pulses.one-of-two" in [note.code for note in got.notes]
    assert any(c.rev_s == pytest.approx(50, rel=1e-3) for c in got.candidates)
