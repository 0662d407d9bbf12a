"""What is done where little speaks for the best path."""

from dataclasses import replace

import numpy as np
import pytest

from snath.formulas.signals.comb import STEP
from snath.formulas.signals.sound_answer import doubted
from snath.formulas.signals.sound_course import Heard
from snath.formulas.signals.sound_doubt import WEAK, Course, reconsidered
from snath.formulas.signals.sound_follow import TooShortError
from snath.formulas.signals.sound_judge import belief
from snath.formulas.signals.sound_search import Search

LOW, PLACES, FRAMES = 15.0, 400, 30
T = 0.1 * np.arange(FRAMES)


def path_at(speed, *others) -> Search:
    """Frames with a ridge at a speed, the best path, and fainter ones at others. [rev/s]"""
    score = np.zeros((FRAMES, PLACES), dtype=np.float32)
    for evidence, one in zip((9.0, 8.0, 7.0), (speed, *others), strict=False):
        score[:, round(np.log(one / LOW) / STEP)] = evidence
    place = np.full(FRAMES, round(np.log(speed / LOW) / STEP))
    return Search(T, np.full(FRAMES, speed), score.max(axis=1), score, place, np.zeros(score.shape, np.int32))


def heard(search: Search, evidence, worth, *, lost=False) -> Heard:
    """What was heard along a course, invented."""
    u = np.full(FRAMES, 0.01)
    sure = np.ones(FRAMES, bool)
    mean = float(search.speed.mean())
    return Heard(
        T, search.speed, u, sure, evidence, 0, 3, mean, 0.01, 0.005, {}, None, worth=worth, lost=lost
    )


def listener(answers, asked):
    """Stands in for the sound: evidence, worth and whether the track was lost, by the speed of a course."""

    def along(search: Search, span=None) -> Course:
        speed = float(search.speed.mean())
        asked.append(round(speed, 1))
        near = min(answers, key=lambda one: abs(one - speed))
        evidence, worth, lost = answers[near]
        return Course(search, span or (0, FRAMES, None), heard(search, evidence, worth, lost=lost))

    return along


def test_a_clear_course_is_kept_without_another_look():
    asked: list[float] = []
    along = listener({20.0: ({1.0: WEAK}, 500.0, False)}, asked)
    first = along(path_at(20.0, 33.0), None)
    assert reconsidered(first, along, LOW) is first
    assert asked == [20.0]


def test_the_engine_is_found_as_a_multiple_of_another_course():
    asked: list[float] = []
    answers = {20.0: ({1.0: 4.0}, 90.0, False), 33.0: ({1.0: 2.0, 1.5: 50.0}, 400.0, False)}
    answers[49.5] = ({1.0: 11.0}, 900.0, False)
    along = listener(answers, asked)
    course = reconsidered(along(path_at(20.0, 33.0), None), along, LOW)
    # by hand: 1.5 times 33
    assert course.heard.mean == pytest.approx(49.5, rel=STEP)
    assert course.best == (1.0, 50.0)


def test_a_course_that_was_lost_persuades_nobody():
    answers = {20.0: ({1.0: 4.0}, 90.0, False), 33.0: ({1.0: 50.0}, 4000.0, True)}
    along = listener(answers, [])
    first = along(path_at(20.0, 33.0), None)
    assert reconsidered(first, along, LOW).heard.mean == first.heard.mean


def test_a_smoother_beginning_is_taken_only_if_its_comb_explains_clearly_more():
    search = replace(path_at(20.0), speed=20.0 + 0.4 * (-1.0) ** np.arange(FRAMES))

    def along(worth):
        def followed(course: Search, span=None) -> Course:
            rough = np.ptp(course.speed) > 0.5
            return Course(
                course, span or (0, FRAMES, None), heard(course, {1.0: 8.0}, 300.0 if rough else worth)
            )

        return followed

    taken = [np.ptp(reconsidered(along(w)(search), along(w), LOW).heard.speed) < 0.5 for w in (320.0, 900.0)]
    assert taken == [False, True]


def test_the_best_path_is_believed_most_and_a_full_comb_is_left_for_an_octave_less_willingly():
    assert belief(1.0, 40) == 0
    assert belief(2.0, 40) < belief(2.0, 8) < 0
    assert belief(1.23, 40) <= belief(2.0, 40)  # an unknown multiple is no likelier than an octave


def test_a_doubt_about_a_multiple_that_the_kept_evidence_leaves_out_is_no_fault():
    # At the end of a range one course holds twice its speed and another just does not.
    assert doubted({1.0: 20.0, 0.5: 3.0}, {2.0: -1.0, 1.0: -1.0}) == {1.0: 20.0, 0.5: 3.0}
    assert doubted({1.0: 20.0}, {2.0: -1.0}) == {1.0: 20.0}


def test_another_course_that_is_too_short_to_follow_leaves_the_first_as_it_was():
    answers = listener({20.0: ({1.0: 8.0}, 300.0, False)}, [])

    def along(search: Search, span=None) -> Course:
        if abs(float(search.speed.mean()) - 20.0) > 1:
            raise TooShortError
        return answers(search, span)

    first = along(path_at(20.0, 33.0, 55.0), None)
    assert reconsidered(first, along, LOW).heard.mean == first.heard.mean
