"""A swing of one rate is found in frames whose best path runs along chance."""

import numpy as np
import pytest

from snath.formulas.signals.comb import STEP
from snath.formulas.signals.sound_search import Search
from snath.formulas.signals.sound_swing import swinging

LOW, PLACES, FRAMES = 15.0, 300, 50


def frames_along(speed, evidence, noise, generator) -> Search:
    """Frames that hold so much evidence along a course and chance everywhere else. [rev/s], [nat], [nat]"""
    score = noise * generator.standard_exponential((FRAMES, PLACES)).astype(np.float32)
    place = np.rint(np.log(speed / LOW) / STEP).astype(int)
    score[np.arange(FRAMES), place] += evidence
    best = score.argmax(axis=1)
    best[:] = np.median(place)
    t = 0.1 * np.arange(FRAMES) + 0.05
    return Search(
        t, np.full(FRAMES, 30.0), score[np.arange(FRAMES), best], score, best, np.zeros(score.shape, np.int32)
    )


@pytest.mark.parametrize(("rate", "depth"), [(1.0, 0.03), (1.7, 0.10), (2.4, 0.06)])
def test_a_swing_is_found_where_single_frames_say_little(rate, depth):
    generator = np.random.default_rng(5)
    t = 0.1 * np.arange(FRAMES) + 0.05
    truth = 30 * (1 + depth * np.sin(2 * np.pi * (rate * t + 0.3)))
    # another road: the course the frames were made of
    course = swinging(frames_along(truth, 4.0, 1.0, generator), LOW)
    assert np.median(np.abs(course.speed / truth - 1)) < 0.01
    assert np.max(np.abs(course.speed / truth - 1)) < 0.04


def test_what_swings_two_ways_in_a_minute_is_found_window_by_window():
    generator = np.random.default_rng(6)
    t = 0.1 * np.arange(FRAMES) + 0.05
    truth = 30 * (1 + 0.08 * np.sin(2 * np.pi * 1.3 * t))
    one = frames_along(truth, 6.0, 1.0, generator)
    two = frames_along(30 * (1 + 0.05 * np.sin(2 * np.pi * 2.1 * t)), 6.0, 1.0, generator)
    both = Search(
        np.concatenate([one.t, one.t[-1] + 0.1 + one.t]),
        np.concatenate([one.speed, two.speed]),
        np.concatenate([one.heard, two.heard]),
        np.concatenate([one.score, two.score]),
        np.concatenate([one.place, two.place]),
        np.concatenate([one.lead, two.lead]),
    )
    course = swinging(both, LOW).speed
    assert np.median(np.abs(course[:FRAMES] / truth - 1)) < 0.01
    assert np.ptp(course[FRAMES:]) == pytest.approx(2 * 0.05 * 30, rel=0.4)


def test_too_few_frames_keep_their_path():
    generator = np.random.default_rng(7)
    found = frames_along(np.full(FRAMES, 30.0), 4.0, 1.0, generator).cut(0, 6)
    assert swinging(found, LOW).speed == pytest.approx(found.speed)


def test_a_path_beside_the_range_is_no_fault():
    generator = np.random.default_rng(8)
    found = frames_along(np.full(FRAMES, 30.0), 4.0, 1.0, generator).times(8.0)
    assert np.isfinite(swinging(found, LOW).speed).all()
