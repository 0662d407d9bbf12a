"""Where a track was lost shows in the phases of the lines."""

import numpy as np
import pytest

from snath.formulas.signals.sound_explained import KEPT, explained

TOP, BLOCKS = 12, 60
NOISE = np.full(TOP, 0.01)


def blocks_of_one_sound(generator) -> np.ndarray:
    """The same lines in every block, with a little noise."""
    tones = np.exp(2j * np.pi * generator.uniform(size=TOP))
    noise = generator.standard_normal((2, BLOCKS, TOP)) * np.sqrt(NOISE / 2)
    return tones + noise[0] + 1j * noise[1]


def test_a_sound_that_stays_the_same_is_explained_throughout():
    lines = blocks_of_one_sound(np.random.default_rng(1))
    # by hand: every block shows the common amplitude; its error is under 0.1 / sqrt(6 * 12)
    assert explained(lines, NOISE, np.zeros(BLOCKS)).least == pytest.approx(1, abs=0.05)


def test_a_stretch_turned_at_random_is_not_explained():
    generator = np.random.default_rng(2)
    lines = blocks_of_one_sound(generator)
    lost = np.zeros(BLOCKS)
    lost[30:42] = generator.uniform(-0.5, 0.5, 12)
    # by hand: lines turned at random agree with nothing on average, 0 with a spread of 1 / sqrt(2 * 6 * 12) = 0.08
    # for lines turned each by itself, more as one turn moves them together
    assert explained(lines, NOISE, lost).least < 0.4


def test_three_lone_blocks_in_doubt_do_not_make_a_lost_stretch():
    lines = blocks_of_one_sound(np.random.default_rng(3))
    lines[[10, 30, 50]] = 0
    # by hand: one block of six gone leaves five sixths, of a mean that is lowered alike
    assert explained(lines, NOISE, np.zeros(BLOCKS)).least == pytest.approx(5 / 6 / (57 / 60), abs=0.06)


def test_where_no_line_is_heard_nothing_is_explained():
    assert explained(np.zeros((BLOCKS, TOP), dtype=complex), NOISE, np.zeros(BLOCKS)).least == 0


def test_lines_that_a_driven_part_may_make_are_worth_nothing():
    lines = blocks_of_one_sound(np.random.default_rng(4))
    # by hand: all twelve lines are alike, so without four of them two thirds of the worth are left
    whole, left = (explained(lines, NOISE, np.zeros(BLOCKS), others).worth for others in ((), {2, 5, 7, 9}))
    assert left == pytest.approx(whole * 2 / 3, rel=0.03)


@pytest.mark.parametrize("step", [0.02, 0.11])
def test_tones_that_do_not_keep_step_with_what_comes_back_turn_against_it(step):
    # By hand: a slap of a tone of its own is another one each time; its lines turn by `step` of a turn from block to
    # block, half of them this way and half that way, beside what the beat itself leaves, 10 dB lower.
    lines = blocks_of_one_sound(np.random.default_rng(5))
    ways = np.where(np.arange(TOP) % 2, 1, -1)
    slap = 0.3 * lines + lines * np.exp(2j * np.pi * step * np.outer(np.arange(BLOCKS), ways))
    assert explained(slap, NOISE, np.zeros(BLOCKS)).steady < KEPT


def test_cycles_stronger_and_weaker_by_chance_stay_in_step():
    # By hand: what is unlike its neighbours by chance does not turn, however unlike; nor does noise alone.
    generator = np.random.default_rng(6)
    strength = 1 + 0.3 * generator.standard_normal((BLOCKS, 1))
    lines = blocks_of_one_sound(generator) * strength
    assert explained(lines, NOISE, np.zeros(BLOCKS)).steady > 0.95
