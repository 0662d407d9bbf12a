"""The next best courses through frames that hold several ridges of evidence."""

import numpy as np
import pytest

from snath.formulas.signals.comb import STEP
from snath.formulas.signals.sound_others import other_courses
from snath.formulas.signals.sound_search import Search

LOW, PLACES, FRAMES = 15.0, 400, 30


def heard_at(*ridges: tuple[float, float]) -> Search:
    """Frames that hold so much evidence at each speed, the first of them the best path. [rev/s], [nat]"""
    score = np.zeros((FRAMES, PLACES), dtype=np.float32)
    for speed, evidence in ridges:
        score[:, round(np.log(speed / LOW) / STEP)] = evidence
    place = np.full(FRAMES, round(np.log(ridges[0][0] / LOW) / STEP))
    t = 0.1 * np.arange(FRAMES)
    return Search(
        t, np.full(FRAMES, ridges[0][0]), score.max(axis=1), score, place, np.zeros(score.shape, np.int32)
    )


def test_courses_come_in_the_order_of_their_evidence():
    found = heard_at((20.0, 9.0), (33.0, 8.0), (55.0, 7.0))
    # by hand: the ridges as they were put there, to half a step of the axis
    speeds = [float(np.median(course.speed)) for course in other_courses(found, LOW, 2)]
    assert speeds == pytest.approx([33.0, 55.0], rel=STEP)


def test_what_the_first_path_took_is_not_found_again_beside_it():
    found = heard_at((20.0, 9.0), (20.4, 8.5), (33.0, 3.0))
    # by hand: 20.4 is 2 % beside 20, and courses nearer than 4 % are one
    (course,) = other_courses(found, LOW, 1)
    assert np.median(course.speed) == pytest.approx(33.0, rel=STEP)


def test_an_octave_is_left_to_the_cycles_of_the_first_path():
    found = heard_at((20.0, 9.0), (40.0, 8.0), (33.0, 7.0))
    speeds = [float(np.median(course.speed)) for course in other_courses(found, LOW, 2)]
    assert speeds == pytest.approx([33.0], rel=STEP)
