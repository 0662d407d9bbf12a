"""Are held speeds found that single frames miss, and two of them told apart?"""

import numpy as np
import pytest

from snath.formulas.signals.comb import STEP
from snath.formulas.signals.sound_held import akin, drawn_aside, held_courses
from snath.formulas.signals.sound_judge import belief
from snath.formulas.signals.sound_search import HOP, Search

FRAMES, PLACES, LOW = 40, 400, 20.0  # 4 s; speeds from 20 rev/s up in steps of STEP


def search(score, own=None):
    """Frames whose best path runs along the loudest place of each."""
    place = score.argmax(axis=1)
    return Search(
        t=np.arange(HOP / 2, FRAMES * HOP, HOP),
        speed=LOW * np.exp(STEP * place),
        heard=score.max(axis=1),
        score=score,
        place=place,
        lead=np.zeros(score.shape, dtype=np.int32),
        own=own,
    )


def heard(middle, slope=0.0, strength=4.0, seed=1):
    """Noise of scale 1 in all places and frames, and a speed of so much evidence that drifts by a share a second."""
    score = np.random.default_rng(seed).gumbel(0.0, 1.0, (FRAMES, PLACES))  # seed 1: nothing was chosen by it
    off = slope * HOP / STEP * (np.arange(FRAMES) - (FRAMES - 1) / 2)
    score[np.arange(FRAMES), np.rint(middle + off).astype(int)] += strength
    return score


@pytest.mark.parametrize("slope", [0.0, 0.01, -0.01])
def test_a_speed_too_faint_for_single_frames_is_found_over_all_of_them(slope):
    score = heard(200, slope)
    found = search(score)
    assert np.mean(np.abs(found.place - 200) > 10) > 0.3  # by single frames it is often missed
    first = held_courses(found, 0, FRAMES)[0]
    true = LOW * np.exp(STEP * 200)
    assert np.mean(first.speed) == pytest.approx(true, rel=2 * STEP)  # places beside count as well
    gained = np.log(first.speed[-1] / first.speed[0]) / (HOP * (FRAMES - 1))
    assert gained == pytest.approx(slope, abs=0.006)  # by hand: one slope beside is 0.005 a second


def test_lines_of_the_engine_are_asked_apart_from_what_it_drives():
    """A blade of unsure ratio is as loud as it is at many speeds; it hides nothing that the engine's own lines say."""
    own = heard(120)
    blade = np.zeros(own.shape)
    blade[:, 230:300] = 9.0
    speeds = [float(np.mean(one.speed)) for one in held_courses(search(own + blade, own), 0, FRAMES)]
    assert any(speed == pytest.approx(LOW * np.exp(STEP * 120), rel=2 * STEP) for speed in speeds)
    assert any(LOW * np.exp(STEP * 229) < speed < LOW * np.exp(STEP * 301) for speed in speeds)


def test_only_the_frames_asked_for_count():
    score = np.concatenate([heard(120, strength=9.0)[:20], heard(260, strength=9.0)[20:]])
    first = held_courses(search(score), 20, FRAMES)[0]
    assert np.mean(first.speed) == pytest.approx(LOW * np.exp(STEP * 260), rel=2 * STEP)


def test_no_speed_is_held_where_the_frames_hear_it_change():
    """Throttled to a third, an engine keeps lines on the slower comb all along: no course may go through both."""
    faster, slower = heard(260, strength=30.0), heard(40, strength=30.0)
    changed = np.concatenate([faster[:20], slower[20:]])
    assert drawn_aside(search(faster, faster))
    assert not drawn_aside(search(changed, changed))


def test_nothing_is_drawn_aside_where_nothing_is_driven():
    assert not drawn_aside(search(heard(260, strength=30.0)))


def test_octaves_and_thirds_are_one_engine_and_a_tenth_more_is_another():
    assert all(akin(ratio) for ratio in (1.0, 1.025, 0.5, 2.0, 1 / 3, 1.5, 2 / 3, 3.0))
    assert not any(akin(ratio) for ratio in (1.1, 0.9, 1.945, 0.43, 2.6))


def test_nothing_is_believed_before_of_a_course_no_frames_speak_for():
    """The best path is the engine's in most clips (docs/sound.md); where it could not be followed it was not."""
    assert belief(1.0, 30) > belief(0.5, 30)
    assert belief(None, 30) == 0.0
    found = search(heard(200))
    assert held_courses(found, 0, FRAMES)[0].times(2.0).share is None
