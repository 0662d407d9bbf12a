"""Smoother courses near a rough path."""

import numpy as np
import pytest

from snath.formulas.signals.sound_search import Search
from snath.formulas.signals.sound_starts import smoother


def path_of(speed) -> Search:
    """A path that runs so, evidence 1 nat everywhere. [rev/s]"""
    n = len(speed)
    score = np.ones((n, 4), dtype=np.float32)
    return Search(
        0.1 * np.arange(n),
        np.asarray(speed),
        np.ones(n),
        score,
        np.zeros(n, int),
        np.zeros(score.shape, np.int32),
    )


def test_every_course_is_nearer_a_straight_truth_than_the_path():
    generator = np.random.default_rng(3)
    truth = np.linspace(50, 52, 40)
    path = path_of(truth * (1 + 0.01 * generator.standard_normal(40)))
    off = np.abs(path.speed - truth).mean()
    # property: the mean or the middle of several is off by less than one
    assert [bool(np.abs(course.speed - truth).mean() < off) for course in smoother(path)] == [True] * 5


def test_a_straight_course_passes_over_frames_that_were_misheard():
    speed = np.linspace(50, 51, 40)
    misheard = speed.copy()
    misheard[[5, 17, 18, 33]] *= 1.4
    best = min(np.abs(course.speed - speed).max() for course in smoother(path_of(misheard)))
    assert best < 0.05  # rev/s; by hand: 36 of 40 frames lie on the line


def test_a_frame_that_is_hardly_heard_weighs_little_in_a_mean():
    speed = np.full(20, 50.0)
    speed[10] = 60.0
    path = path_of(speed)
    path.heard[10] = 0.0
    means = [course.speed[10] for course in smoother(path)]
    # by hand: a weight of 0.1 among neighbours of 1; at a width of 1 frame the middle one has 0.4 of the weight
    assert means[1] == pytest.approx(50 + 10 * 0.0399 / (1 - 0.3989 + 0.0399), rel=2e-3)


def test_a_handful_of_frames_is_not_smoothed():
    assert list(smoother(path_of(np.full(6, 50.0)))) == []
