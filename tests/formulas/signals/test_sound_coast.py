"""Blade tones, puffs and falls after a release, each against a sound or a curve of the test's own making."""

import numpy as np
import pytest

from snath.formulas.signals.candidates import Driven, Orders
from snath.formulas.signals.sound_coast import coasted
from snath.formulas.signals.sound_falls import BRAKES, DRAGS, Grid, share_left, time_to_turn, usual
from snath.formulas.signals.sound_plan import plan_of
from snath.formulas.signals.sound_puffs import Puffs, puffs_after
from snath.formulas.signals.sound_scatter import Scatter
from snath.formulas.signals.sound_tones import tones_before, tones_say

RATE = 4000.0
BEGINS = np.array([-0.02, 0.0, 0.02])


def grid():
    """What is usual, before anything was heard."""
    brake, drag, _ = np.meshgrid(BRAKES, DRAGS, BEGINS, indexing="ij")
    return Grid(BRAKES, DRAGS, BEGINS, usual(brake, drag))


def test_what_is_left_of_the_speed_solves_friction_and_drag():
    # By hand: dn/dt = -b n0 - c n with n0 = 1; its numerical slope at several moments.
    t, step = np.array([0.2, 0.7, 1.1]), 1e-5
    slope = (share_left(0.3, 0.4, t + step) - share_left(0.3, 0.4, t - step)) / (2 * step)
    assert slope == pytest.approx(-0.3 - 0.4 * share_left(0.3, 0.4, t), rel=1e-6)
    assert share_left(0.3, 0.4, -1.0) == 1


@pytest.mark.parametrize(("brake", "drag"), [(0.35, 0.4), (0.5, 0.2), (0.2, 0.6)])
@pytest.mark.parametrize("since", [-0.02, 0.0, 0.5, 1.0])
@pytest.mark.parametrize("angle", [0.035, 0.07])
def test_the_time_to_turn_on_is_that_of_the_angle_summed_up(brake, drag, since, angle):
    # By another road: speed added up in steps of a microsecond. By the speed of the middle it would be up to 4 % off.
    t = since + np.arange(400_000) * 1e-6
    turned = np.cumsum(share_left(brake, drag, t + 0.5e-6)) * 1e-6
    expected = 1e-6 * (np.searchsorted(turned, angle) + 1)
    spent, left = time_to_turn(brake, drag, since, angle)
    assert spent == pytest.approx(expected, rel=5e-4)
    assert left == pytest.approx(share_left(brake, drag, since + spent), rel=0.03)


def test_a_shaft_that_stops_first_turns_on_no_further():
    # By hand: 1.2 s after the release of (0.5, 0.2) 25 % of the speed are left, which friction alone takes in 0.5 s:
    # the shaft turns on by at most half of what it would in that time at 25 %.
    assert time_to_turn(0.5, 0.2, 1.2, 0.25 * 0.5)[1] == 0


def test_belief_between_two_falls_of_the_grid_is_straight():
    believed = Grid(np.array([0.1, 0.2]), np.array([0.3, 0.4]), BEGINS, np.arange(12.0).reshape(2, 2, 3))
    # By hand: halfway in brake is 3 over the first row, halfway in drag 1.5, a quarter of a begin 0.5.
    assert believed.of(np.array([0.15]), np.array([0.35]), np.array([-0.01]))[0] == pytest.approx(5.0)


def puffs_at(times, *, full, begin=2.0, long=2.5, noise=0.0):
    """A match that is as high as 0.07 of a firing at those times, and bent about them as a tone of 400 Hz."""
    at = begin + np.arange(int(long * RATE)) / RATE
    near = np.abs(at[:, None] - times).min(axis=1)
    match = 0.07 * full * np.exp(-((near / 0.002) ** 2)) * np.cos(2 * np.pi * 400 * near)
    match += noise * np.sqrt(full) * np.random.default_rng(4).standard_normal(len(at))
    return at, match


@pytest.mark.parametrize(
    ("start", "turns", "brake", "drag"), [(40, 2, 0.25, 0.5), (40, 2, 0.45, 0.3), (150, 1, 0.3, 0.3)]
)
def test_a_fall_is_found_from_when_its_puffs_come(start, turns, brake, drag):
    # By hand: released at 2 s; a puff whenever the angle passes a whole cycle, of one turn or two.
    t = np.arange(1.9, 4.5, 1e-4)
    speed = start * share_left(brake, drag, t - 2.0)
    cycle = np.concatenate([[0.0], np.cumsum((speed[1:] + speed[:-1]) / 2 * 1e-4)]) / turns
    times = np.interp(np.arange(0, cycle[-1]), cycle, t)
    _, match = puffs_at(times, full=800.0, noise=1.0)
    heard = Puffs(2.0, RATE, match, 800.0, 1.9, 0.0)
    falls, met, below = coasted(
        grid(), heard, released=2.0, speed=float(start), runs=0.8 * start, turns=turns, firings=(0.0,)
    )
    at = np.arange(2.1, 3.15, 0.1)
    found = falls.belief @ falls.at(at)
    assert found == pytest.approx(np.interp(at, t, speed), rel=0.02)
    assert falls.belief.sum() == pytest.approx(1)
    assert met > 3  # property: odds of 20 to 1 for puffs that are there
    assert below > 1  # property: most of them come at less than four fifths of the speed


def test_without_puffs_a_fall_is_known_no_better_than_before():
    heard = Puffs(2.0, RATE, np.random.default_rng(8).standard_normal(10_000) * 2, 4.0, 1.98, 0.0)
    falls, met, below = coasted(grid(), heard, released=2.0, speed=40.0, runs=25.0, turns=2, firings=(0.0,))
    at = np.array([3.0])
    assert max(met, below) < 2  # property: noise says little for them
    spread = np.sqrt(falls.belief @ (falls.at(at)[:, 0] - falls.belief @ falls.at(at)[:, 0]) ** 2)
    # Property: usual falls leave 22 to 70 % of the speed after a second; noise alone must not narrow that.
    assert spread > 0.08 * 40


def test_puffs_that_never_come_do_not_make_a_fall_quicker():
    # Property: an engine whose compression nobody hears stops no sooner. The frames' belief, 40 % of the speed left
    # after a second to within a few, must come through; by counting missing puffs alone it would be 30 %.
    brake, drag, _ = np.meshgrid(BRAKES, DRAGS, BEGINS, indexing="ij")
    left = share_left(brake, drag, 1.0)
    frames = Grid(BRAKES, DRAGS, BEGINS, usual(brake, drag) - 0.5 * ((left - 0.4) / 0.05) ** 2)
    match = np.sqrt(9000.0) * np.random.default_rng(8).standard_normal(10_000)
    falls, met, below = coasted(
        frames,
        Puffs(2.0, RATE, match, 9000.0, 1.98, 0.0),
        released=2.0,
        speed=40.0,
        runs=25.0,
        turns=2,
        firings=(0.0,),
    )
    assert max(met, below) < 0  # property: they were to be heard, and are not
    assert falls.belief @ falls.at(np.array([3.0]))[:, 0] == pytest.approx(0.4 * 40, rel=0.05)


def test_the_match_is_highest_where_a_weak_firing_came():
    # By hand: knocks every 40 ms until 2 s, after that one of 8 % at 2.31 s and one at 2.9 s, in little noise.
    t = np.arange(int(4 * RATE)) / RATE
    sound = 0.001 * np.random.default_rng(2).standard_normal(len(t))
    for moment, loud in [*((k * 0.04, 1.0) for k in range(50)), (2.31, 0.08), (2.9, 0.08)]:
        since = np.maximum(t - moment, 0)
        sound += loud * np.exp(-since / 0.003) * np.sin(2 * np.pi * 300 * since)
    frames = np.arange(0.05, 1.95, 0.1)
    plan = plan_of(Orders(875 / 60, 5400 / 60, 2, (0.0,)))
    puffs = puffs_after(sound, RATE, frames, np.full(len(frames), 50.0), 2.0, plan, np.full(400, 1e-6), 3.0)
    assert puffs is not None
    later = puffs.match[int(0.1 * RATE) :]
    first = int(later.argmax())
    later[max(first - 80, 0) : first + 80] = 0
    found = sorted((first, int(later.argmax())))
    moments = np.array(found) / RATE + puffs.begin + 0.1
    assert np.diff(moments)[0] == pytest.approx(0.59, abs=0.0005)
    # A cycle begins at 1.92 or 1.96 s: which of the last ones is expected from does not matter.
    assert (puffs.expected + puffs.lag - 1.92 + 0.02) % 0.04 - 0.02 == pytest.approx(0, abs=0.003)
    assert moments[0] == pytest.approx(2.31, abs=0.003)


def test_the_answer_of_one_of_two_uneven_firings_is_unfolded():
    # By hand: knocks at 0 and 0.4375 of an 80 ms cycle until 2 s, then a weak one at 2.31 s. There the match is
    # highest, and the first firing's answer begins with the cycle, not with the other firing 35 ms later.
    t = np.arange(int(4 * RATE)) / RATE
    sound = 0.001 * np.random.default_rng(2).standard_normal(len(t))
    knocks = [((k + place) * 0.08, 1.0) for k in range(25) for place in (0.0, 0.4375)]
    for moment, loud in [*knocks, (2.31, 0.08)]:
        since = np.maximum(t - moment, 0)
        sound += loud * np.exp(-since / 0.003) * np.sin(2 * np.pi * 300 * since)
    frames = np.arange(0.05, 1.95, 0.1)
    plan = plan_of(Orders(875 / 60, 5400 / 60, 2, (0.0, 0.4375)))
    puffs = puffs_after(sound, RATE, frames, np.full(len(frames), 25.0), 2.0, plan, np.full(400, 1e-6), 3.0)
    later = puffs.match[int(0.1 * RATE) :]
    assert int(later.argmax()) / RATE + puffs.begin + 0.1 == pytest.approx(2.31, abs=0.003)
    assert (puffs.expected + puffs.lag + 0.04) % 0.08 - 0.04 == pytest.approx(0, abs=0.003)


def test_too_few_cycles_teach_no_answer():
    frames = np.arange(0.05, 0.2, 0.1)
    plan = plan_of(Orders(875 / 60, 5400 / 60, 2, (0.0,)))
    sound = np.zeros(int(2 * RATE))
    assert puffs_after(sound, RATE, frames, np.full(2, 20.0), 0.2, plan, np.ones(400), 3.0) is None


def test_the_ratio_of_a_blade_is_where_its_tones_are_loud():
    # By hand: engine at 40 rev/s, blade at 1.2 times it with two tips: 48, 96, 192 Hz, bins of 2 Hz.
    ratio = np.ones((5, 400))
    ratio[:, [24, 48, 96]] = 21.0, 11.0, 6.0
    by, loud = tones_before(ratio, 2.0, np.full(5, 40.0), Driven(1.1, 1.3, 2))
    assert by == pytest.approx(1.2, abs=0.012)
    assert loud[:3] == pytest.approx([20.0, 10.0, 5.0])


def test_a_tone_says_the_log_of_two_exponentials():
    # By hand: expected power 4 over noise at 40 rev/s, at half the speed 4/32; what is there is 3 over noise.
    low, step = 20.0, 0.005
    count = int(np.log(2) / step) + 1
    said = tones_say(np.full((1, 800), 3.0, np.float32), low, [2.0], [4.0], 40.0, np.ones(800), 20.0, count)[
        0
    ]
    for place, expected in ((0, 4 / 32), (count - 1, 4 * (np.exp(step * (count - 1)) / 2) ** 5)):
        wanted = 3 * expected / (1 + expected) - np.log1p(expected)
        assert said[place] == pytest.approx(wanted, rel=1e-3)


def test_scattered_numbers_spread_as_chance_would_and_are_the_same_again():
    # First output of SplitMix64 from state 0: 0xE220A8397B1DCDAF, as published for its reference code.
    assert Scatter().even(1)[0] == pytest.approx(0xE220A8397B1DCDAF / 2**64, abs=1e-12)
    scatter = Scatter()
    one, other = scatter.normal(20_000), scatter.normal(20_000)
    assert [one.mean(), one.std(), np.corrcoef(one, other)[0, 1]] == pytest.approx([0, 1, 0], abs=0.03)
    assert np.array_equal(Scatter().normal(20_000), one)
