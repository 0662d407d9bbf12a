import numpy as np
import pytest

from snath.formulas.signals.sound_evidence import OrderSpectrum
from snath.formulas.signals.sound_halves import SHARES, Halves, halves_of, log_odds_repeated
from snath.formulas.signals.sound_unlike import (
    MOST,
    believed,
    differences,
    fires_evenly,
    log_odds_double,
)

SPAN = 12


def spectrum(levels):
    """Lines 1, 2, 3, ... of these levels on an otherwise empty spectrum."""
    level = np.zeros(SPAN * (len(levels) + 1))
    level[SPAN * np.arange(1, len(levels) + 1)] = levels
    return OrderSpectrum(level, np.ones_like(level), np.zeros_like(level), level, SPAN)


def between(levels):
    """Differences of lines of these levels, all of them expected in full."""
    return differences(spectrum(levels), np.arange(1, len(levels) + 1), np.ones(len(levels)))


def test_lines_that_alternate_differ_by_that_much_from_their_neighbours():
    # By hand: 3 between 5 and 5 is two weaker; the fives among themselves do not differ.
    second, others = between([3.0, 5.0] * 6)
    assert second == pytest.approx([-2.0] * 5)
    assert others == pytest.approx([0.0] * 4)


def test_lines_on_a_slope_do_not_differ():
    # By hand: the middle of a straight line is the mean of its ends.
    second, others = between(np.linspace(8, 3, 12))
    assert np.abs(np.concatenate([second, others])).max() < 1e-9


def test_lines_expected_weaker_are_held_against_what_is_expected():
    # By hand: an eighth of the power is ln 8 less; so made, uneven firings differ by nothing.
    power = np.array([0.125, 1.0] * 6)
    second, _ = differences(spectrum(6 + np.log(power)), np.arange(1, 13), power)
    assert np.abs(second).max() < 1e-9


def test_too_few_clear_lines_leave_the_odds_open():
    # Property: unlikely, as most engines fire alike, but not excluded.
    assert -3 < log_odds_double(*between([5.0, 3.0, 5.0]), several=True) < -1


def test_lines_weak_at_every_second_place_make_twice_the_speed_likelier_the_weaker_they_are():
    # Property: alike cycles leave them alike; where all are weaker by as much, cycles alternate.
    pairs = [between([6.0 - weaker, 6.0] * 9) for weaker in (0, 0.6, 1.2, 3)]
    odds = [believed(log_odds_double(*pair, several=False), pair[0]) for pair in pairs]
    assert odds == sorted(odds)
    assert odds[0] < -3
    assert odds[1] > -3
    assert odds[2] == MOST
    assert odds[3] > MOST


def test_what_a_rough_pipe_does_to_all_lines_is_not_laid_to_the_cylinders():
    # Property: two nats from line to line are much beside lines alike otherwise, and little where all differ by it.
    drawn = np.random.default_rng(3).normal(0, 1.5, 24)
    apart = np.array([0.9, 0.0, -0.9, 0.0] * 6)
    smooth, rough = 8 + np.where(np.arange(24) % 2 == 0, apart, 0.0), 8 + drawn
    assert log_odds_double(*between(smooth), several=True) > log_odds_double(*between(rough), several=True)
    assert log_odds_double(*between(smooth), several=True) > log_odds_double(*between(smooth), several=False)


@pytest.mark.parametrize(
    ("firings", "even"),
    [((0.0,), False), ((0.0, 0.5), True), ((0.0, 0.375), False), ((0.0, 0.25, 0.5, 0.75), True)],
)
def test_only_firings_at_even_distances_cancel_lines(firings, even):
    # By hand: a single cancels none; a 270-degree crank fires at 0.375 of the cycle.
    assert fires_evenly(firings) is even


def wave(second):
    """40 cycles of 128 points in a little noise: a burst at the start of each, and another half-way."""
    generator = np.random.default_rng(5)
    cycle = np.zeros(128)
    cycle[4:24] = BURST
    cycle[68:88] = second
    return cycle + 0.05 * generator.standard_normal((40, 128))


BURST = np.random.default_rng(7).standard_normal(20) * np.exp(-np.arange(20) / 6)


def said_of(cycles):
    """What the halves of these cycles say in all, whatever the share by which cycles differ."""
    halves = halves_of(cycles, 1.0, 30)
    assert halves is not None
    return log_odds_double(*NO_LINES, halves, several=False) - log_odds_double(*NO_LINES, several=False)


NO_LINES = (np.array([]), np.array([]))


def test_the_same_wave_twice_but_weaker_is_told_from_two_waves_of_one_cycle():
    # Property: half as loud the same burst speaks for strong and weak cycles, another of that loudness against them.
    other = np.random.default_rng(8).standard_normal(20) * np.exp(-np.arange(20) / 6)
    assert said_of(wave(0.5 * BURST)) > 1
    assert said_of(wave(0.5 * other)) < -1
    assert said_of(wave(0.0 * BURST)) < -1


def test_halves_of_a_burst_and_its_half_are_alike_and_one_is_half_as_strong():
    # By hand: a burst and half of it in hardly any noise.
    halves = halves_of(wave(0.5 * BURST), 1.0, 30)
    assert halves is not None
    assert halves.alike == pytest.approx(1, abs=0.05)
    assert halves.weaker == pytest.approx(0.5, abs=0.05)
    assert halves.drowned < 0.1


def test_what_rings_on_excuses_a_likeness_only_as_far_as_the_weaker_half_allows():
    # By hand: cycles of 1.5 and 0.5, one a third of the other. Where the weaker half is a third as loud nothing rings
    # on, and the two are one wave; where it is as loud all rings on, and their likeness is 2 / 3 / (1 + 1 / 9) = 0.6.
    share = int(np.abs(SHARES - 0.5).argmin())
    odds = {
        (weaker, alike): log_odds_repeated(Halves(alike, weaker, 0.0))[share]
        for weaker in (1 / 3, 1.0)
        for alike in (0.6, 1.0)
    }
    assert odds[1 / 3, 1.0] > odds[1 / 3, 0.6] + 2
    assert odds[1.0, 0.6] > odds[1 / 3, 0.6] + 1


def test_noise_and_a_few_cycles_have_no_shape():
    # By hand: noise is heard in no two parts alike; three cycles cannot be cut in three parts of two.
    noise = np.random.default_rng(9).standard_normal((40, 128))
    assert halves_of(noise, 1.0, 30) is None
    assert halves_of(wave(BURST)[:3], 1.0, 30) is None
