import numpy as np
import pytest

from benchmarks.simulator.film import Camera, Part, moments, pictures
from benchmarks.simulator.ride import ride
from snath.formulas.signals.film.read import speed_from_light
from snath.formulas.signals.film.search import straight_paths
from snath.formulas.signals.film.shutter import Shutter
from snath.quantities.message import Message

LOW, HIGH = 875 / 60, 90.0  # half of an idle of 1,750 to 1.5 times a rated 3,600 rpm
SECONDS = 4.0


def filmed(rate, stamps, *, seed=0, rev_s=None, profile="steady", marks=(0.0,), part=None, **camera):
    """Stamps, coarse pictures and the true mean speed of a simulated film."""
    generator = np.random.default_rng((seed, int(rate)))
    rev_s = rev_s or float(np.exp(generator.uniform(np.log(20), np.log(66))))
    going = ride(profile, rev_s=rev_s, seconds=SECONDS + 1, cycle_turns=2, jitter=0.005, generator=generator)
    set_up = Camera(rate, stamps=stamps, size=(60, 80), **camera)
    began, stamped = moments(set_up, SECONDS, generator)
    shown = pictures(going, part or Part(marks=marks), set_up, began, generator)
    cells = np.stack([p.reshape(30, 2, 40, 2).mean(axis=(1, 3)) for p in shown])
    return stamped, cells, going.speed_over(began[0], began[-1])


def nearest(result, truth):
    return min(abs(c.rev_s / truth - 1) for c in result.candidates)


@pytest.mark.parametrize("seed", range(4))
def test_uneven_frames_of_a_30_a_second_film_leave_one_speed(seed):
    # Another road: the simulator's own angle. Budgets never go below the cycle jitter, 0.5 % / sqrt(cycles).
    t, cells, truth = filmed(30, "uneven", seed=seed, profile=("steady", "drift")[seed % 2])
    result = speed_from_light(t, cells, rev_s_low=LOW, rev_s_high=HIGH)
    assert result.decided
    assert not result.even
    assert result.steady.value == pytest.approx(truth, rel=1e-3)


@pytest.mark.parametrize("stamps", ["even", "rounded"])
@pytest.mark.parametrize("rate", [30, 60])
def test_even_frames_list_the_aliases_even_where_stamps_are_rounded(rate, stamps):
    for seed in range(2):
        t, cells, truth = filmed(rate, stamps, seed=seed)
        result = speed_from_light(t, cells, rev_s_low=LOW, rev_s_high=HIGH)
        assert not result.decided
        assert result.even
        assert len(result.candidates) <= 5
        assert nearest(result, truth) < 2e-3


@pytest.mark.parametrize("seed", range(3))
def test_a_film_at_240_a_second_is_decided_below_half_of_that(seed):
    t, cells, truth = filmed(240, "even", seed=seed)
    result = speed_from_light(t, cells, rev_s_low=LOW, rev_s_high=HIGH)
    assert result.decided
    assert result.steady.value == pytest.approx(truth, rel=1e-3)
    assert abs(result.steady.value - truth) < 4 * result.steady.u


@pytest.mark.parametrize("stamps", ["even", "rounded"])
def test_even_frames_are_decided_below_half_their_rate_where_the_range_reaches_no_further(stamps):
    # By hand: 60 - n and 60 + n lie over 30 rev/s for every n below it.
    for seed, rev_s in enumerate((16.0, 22.3, 28.4)):
        t, cells, truth = filmed(60, stamps, seed=seed, rev_s=rev_s, profile=("steady", "drift")[seed % 2])
        wide = speed_from_light(t, cells, rev_s_low=LOW, rev_s_high=HIGH)
        assert not wide.decided
        assert nearest(wide, truth) < 2e-3
        asked = speed_from_light(t, cells, rev_s_low=LOW, rev_s_high=30.0)
        assert asked.decided
        assert len(asked.candidates) == 1
        assert asked.steady.value == pytest.approx(truth, rel=1e-3)


@pytest.mark.parametrize("drift", [-0.25, -0.1, 0.0, 0.1, 0.25])
def test_a_drift_is_found_whichever_way_it_goes(drift):
    # By hand: 40 t + drift t^2 / 2 repetitions from the middle of the film on.
    t = np.arange(1920) / 240 - 4.0
    phase = 40 * t + drift * t**2 / 2
    first = straight_paths(t, np.cos(2 * np.pi * phase)[:, None], low=20.0, high=55.0)[0]
    assert np.diff(first, n=2).mean() / np.diff(t).mean() ** 2 == pytest.approx(drift, abs=1e-9)
    assert (first[-1] - first[0]) / (t[-1] - t[0]) == pytest.approx(40, abs=0.15)


def test_a_two_tip_blade_exactly_on_the_fold_is_never_decided():
    # By hand: 60 rev/s times two tips is 120 Hz, half of 240 frames/s.
    for seed in range(3):
        t, cells, _ = filmed(240, "even", seed=seed, rev_s=60.0, marks=(0.0, 0.5))
        assert not speed_from_light(t, cells, marks=2, rev_s_low=LOW, rev_s_high=HIGH).decided


@pytest.mark.parametrize("rev_s", [30.1, 59.9])
def test_a_mark_that_went_round_less_than_once_by_eye_is_never_decided(rev_s):
    # By hand: 0.1 Hz beside a multiple of 30 a second for 4 s is 0.4 of a turn by eye: one passage, no pattern. Uneven
    # frames let such films be decided before, some one fold off.
    for seed in range(2):
        t, cells, _ = filmed(30, "uneven", seed=seed, rev_s=rev_s)
        assert not speed_from_light(t, cells, rev_s_low=LOW, rev_s_high=HIGH).decided


def test_a_part_that_looks_stopped_may_be_turning():
    # By hand: 60 rev/s at 30 frames/s moves two whole turns from picture to picture.
    generator = np.random.default_rng(1)
    going = ride("steady", rev_s=60.0, seconds=5, cycle_turns=2, jitter=0.0, generator=generator)
    camera = Camera(30, size=(60, 80))
    began, stamped = moments(camera, SECONDS, generator)
    cells = np.stack(list(pictures(going, Part(), camera, began, generator)))
    result = speed_from_light(stamped, cells, rev_s_low=LOW, rev_s_high=HIGH)
    assert not result.decided
    assert nearest(result, 60.0) < 1e-9
    assert result.notes[0] == Message("film.nothing-flickers")


def test_a_mark_that_creeps_may_be_as_far_from_a_multiple_as_it_can_creep_unseen():
    # By hand: 30.4 rev/s creeps 0.4 turns a second, 1.6 in 4 s, too few to count; up to 2.5 in 3.97 s is 0.63 a second.
    t, cells, truth = filmed(30, "even", seed=2, rev_s=30.4)
    result = speed_from_light(t, cells, rev_s_low=LOW, rev_s_high=HIGH)
    assert not result.decided
    first = min(result.candidates, key=lambda c: abs(c.rev_s - truth))
    assert abs(first.rev_s - truth) < first.u
    assert first.u == pytest.approx(2.5 / (119 / 30), rel=1e-6)


@pytest.mark.parametrize(
    ("rev_s", "readout_s", "seed"), [(40.8, 0.022, 1), (46.3, 0.0127, 5), (31.84, 0.021, 9)]
)
def test_a_rate_found_as_its_own_harmonic_is_found_itself(rev_s, readout_s, seed):
    # By hand: 30 frames/s show the second harmonic of 40.8 rev/s at 8.4 Hz, as 81.6 less 90; the third of 31.84 at 5.5.
    t, cells, truth = filmed(30, "even", seed=seed, rev_s=rev_s, readout_s=readout_s)
    result = speed_from_light(t, cells, rev_s_low=LOW, rev_s_high=HIGH)
    assert nearest(result, truth) < 2e-3


def test_rolling_shutter_does_not_bias_the_speed():
    # Property: every row is late by the same time in each picture, so its rate is the same.
    for readout in (0.0, 0.004):
        t, cells, truth = filmed(240, "even", seed=5, readout_s=readout)
        result = speed_from_light(t, cells, rev_s_low=LOW, rev_s_high=HIGH)
        assert result.steady.value == pytest.approx(truth, rel=3e-4)


def test_a_long_exposure_rules_out_speeds_that_would_have_smeared_the_mark():
    # By hand: in 1/250 s a part at 20 rev/s moves 0.08 turn, at 80 rev/s 0.32; the mark is 0.06 wide.
    t, cells, truth = filmed(30, "even", seed=1, rev_s=21.7, exposure_s=1 / 250)
    free = speed_from_light(t, cells, rev_s_low=LOW, rev_s_high=HIGH)
    told = speed_from_light(t, cells, rev_s_low=LOW, rev_s_high=HIGH, shutter=Shutter(exposure_s=1 / 250))
    assert nearest(told, truth) < 2e-3
    assert max(c.rev_s for c in told.candidates) < max(c.rev_s for c in free.candidates)


def test_a_small_mark_anywhere_in_the_picture_is_found():
    part = Part(centre=(0.7, 0.25), radius=(0.05, 0.2), width=0.1)
    t, cells, truth = filmed(240, "even", seed=3, part=part)
    result = speed_from_light(t, cells, rev_s_low=LOW, rev_s_high=HIGH)
    assert result.decided
    assert result.steady.value == pytest.approx(truth, rel=1e-3)
    assert result.place == pytest.approx((0.7, 0.25), abs=0.1)


def test_noise_alone_gives_no_speed():
    cells = np.random.default_rng(1).normal(100, 5, (120, 30, 40))
    result = speed_from_light(np.arange(120) / 30, cells, rev_s_low=LOW, rev_s_high=HIGH)
    assert not result.decided


def test_a_film_of_a_few_frames_says_how_many_are_needed():
    result = speed_from_light(np.arange(5) / 30, np.zeros((5, 4, 4)), rev_s_low=LOW, rev_s_high=HIGH)
    assert result.notes == (Message("film.few-frames", least=24),)
