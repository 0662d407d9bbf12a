"""From evidence to belief, and from a course to the doubt of its mean."""

import math

import numpy as np
import pytest

from snath.formulas.signals.candidates import Orders
from snath.formulas.signals.sound_belief import NOISE_SCALE, doubted, shared, usual
from snath.formulas.signals.sound_judge import belief
from snath.formulas.signals.sound_swing import wandered

SHEET = Orders(15.0, 90.0, 2, (0.0,))  # half of an idle of 1,800 rpm to 1.5 times a rated 3,600


def test_the_best_path_is_believed_most_and_a_full_comb_is_left_for_an_octave_less_willingly():
    assert belief(1.0, 40) == 0
    assert belief(2.0, 40) < belief(2.0, 8) < 0
    assert belief(1.23, 40) <= belief(2.0, 40)  # an unknown multiple is no likelier than an octave


def test_a_doubt_about_a_multiple_that_the_kept_evidence_leaves_out_is_no_fault():
    # At the end of a range one course holds twice its speed and another just does not.
    assert doubted({1.0: 20.0, 0.5: 3.0}, {2.0: -1.0, 1.0: -1.0}) == {1.0: 20.0, 0.5: 3.0}
    assert doubted({1.0: 20.0}, {2.0: -1.0}) == {1.0: 20.0}


def test_what_may_be_twice_a_speed_may_be_four_times_its_half():
    # By hand: twice half is 20 + 3 x 6 = 38, and twice that 38 - 3 x 2.5 = 30.5.
    held = doubted({0.5: 20.0, 1.0: 12.0, 2.0: 0.0}, {1.0: 6.0, 2.0: -2.5})
    assert held == pytest.approx({0.5: 20.0, 1.0: 38.0, 2.0: 30.5})


def test_evidence_that_chance_brings_is_believed_by_half_and_what_a_comb_explains_by_more():
    # By hand: 10 nats beside 10 for silence is one half; 800 nats explained leave silence 20 nats behind.
    assert shared({1.0: 10.0})[1.0] == pytest.approx(0.5)
    assert shared({1.0: -5.0}, worth=800.0)[1.0] == pytest.approx(1 / (1 + math.exp(-20 / NOISE_SCALE)))


def test_between_idle_and_rated_all_speeds_are_as_usual_and_at_the_ends_of_the_range_less():
    # By hand: idle is 30 rev/s and rated 60; at 15 and 90 belief is 2 nats less, outside the same.
    before = {
        speed: usual({1.0: 0.0}, speed, SHEET)[1.0] / NOISE_SCALE for speed in (14, 15, 20, 30, 60, 80, 90)
    }
    assert before[30] == before[60] == 0
    assert before[15] == before[90] == before[14] == pytest.approx(-2)
    assert -2 < before[20] < 0
    assert -2 < before[80] < 0


def test_a_mean_is_doubted_by_how_far_quarters_scatter_and_not_by_cycles_or_whole_swings():
    # By hand: quarters of a straight gain of 4 in all lie 1 apart, their scatter is root(5/3).
    t = np.arange(0, 8, 0.1)
    assert wandered(t, 50 + t / 2) == pytest.approx(2.2 * math.sqrt(5 / 3), rel=0.01)
    assert wandered(t, np.full(len(t), 50.0)) == 0
    swing = wandered(t, 50 + np.sin(2 * np.pi * 1.5 * t))
    assert 0 < swing < 0.1  # property: twelve whole swings of 1 leave the mean where it is
    noise = 50 + 0.2 * np.random.default_rng(3).standard_normal(len(t))
    assert wandered(t, noise, jitter=0.2) == 0
