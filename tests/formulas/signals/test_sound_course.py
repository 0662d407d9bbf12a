"""A course that lost its way is found again, and a straight one is told from one that walks."""

import numpy as np
import pytest

from snath.formulas.signals.sound_align import likeliest_course, realigned
from snath.formulas.signals.sound_even import only_noise
from snath.formulas.signals.sound_mend import drawn_through

NOISE = 0.002  # of a phase [cycle]


def ringing(phase, *, noise, generator):
    """Amplitudes of 40 lines of a pipe that rings at the eleventh, of blocks that stand at these phases."""
    order = np.arange(1, 41)
    loud = np.exp(-(((order - 11) / 3) ** 2)) + 0.05
    steady = loud * np.exp(2j * np.pi * generator.uniform(size=40))
    grain = generator.standard_normal((2, len(phase), 40))
    return steady * np.exp(2j * np.pi * np.outer(phase, order)) + noise * (grain[0] + 1j * grain[1])


def test_blocks_that_settled_a_period_of_the_ringing_aside_are_brought_back():
    # Property: all blocks truly stand at 0; the last third is thought to stand 1/11 of a cycle on.
    generator = np.random.default_rng(3)
    lines = ringing(np.zeros(90), noise=0.1, generator=generator)
    thought = np.where(np.arange(90) < 60, 0.0, 1 / 11)
    found = realigned(lines, np.full(40, 0.02), thought, 0.005)
    assert np.abs(found - np.median(found)).max() < 2 / 128


def test_blocks_that_stand_right_are_left_as_they_are():
    generator = np.random.default_rng(4)
    phase = np.cumsum(0.003 * generator.standard_normal(90))
    lines = ringing(phase, noise=0.1, generator=generator)
    assert realigned(lines, np.full(40, 0.02), phase, 0.005) is phase


def test_the_likeliest_course_is_that_of_trying_them_all():
    # Another road: every one of the 5^4 courses over five places, leaps counted the short way round.
    generator = np.random.default_rng(5)
    fits = generator.normal(scale=3, size=(4, 26))
    fits[:, 5:] = -1e3  # only five places are open
    courses = np.stack(np.meshgrid(*[np.arange(5)] * 4, indexing="ij")).reshape(4, -1)
    worth = sum(fits[block][courses[block]] for block in range(4))
    worth = worth - 0.7 * np.abs(np.diff(courses, axis=0)).sum(axis=0)
    best = courses[:, worth.argmax()]
    course = likeliest_course(fits, 0.7)
    np.testing.assert_array_equal(np.mod(course, 26), best)


def share_called_noise(made):
    generator = np.random.default_rng(6)
    t = np.arange(60.0)
    called = 0
    for _ in range(100):
        values = made(generator)
        rest = values - np.polyval(np.polyfit(t, values, 1), t)
        called += only_noise(rest, NOISE**2)
    return called / 100


def test_noise_about_a_line_is_told_from_a_walk():
    # Property: white noise as loud as stated, or a fifth louder, is nothing but noise; a walk with steps of 0.7 of
    # the noise is not, though each step is hidden in it.
    def noisy(size):
        return lambda generator: size * NOISE * generator.standard_normal(60)

    def walking(generator):
        steps = 0.7 * NOISE * generator.standard_normal(60)
        return np.cumsum(steps) + NOISE * generator.standard_normal(60)

    assert share_called_noise(noisy(1.0)) >= 0.95
    assert share_called_noise(noisy(1.2)) >= 0.9
    assert share_called_noise(walking) <= 0.1


def test_a_misheard_frame_is_drawn_through_and_one_clearly_heard_is_not():
    # By hand: 50 on both sides.
    speed = np.full(30, 50.0)
    speed[12:15] = 55.0
    faint = np.full(30, 3.0)
    np.testing.assert_allclose(drawn_through(speed, faint), 50.0)
    clear = np.where((np.arange(30) >= 12) & (np.arange(30) < 15), 20.0, 3.0)
    np.testing.assert_array_equal(drawn_through(speed, clear), speed)


@pytest.mark.parametrize("rate", [1.0, 2.5])
def test_a_hunting_course_keeps_its_swing_though_faintly_heard(rate):
    # Property: 4 % at 1 to 2.5 a second, frames every tenth of one.
    t = np.arange(0, 5, 0.1)
    speed = 50 * (1 + 0.04 * np.sin(2 * np.pi * rate * t + 0.3))
    np.testing.assert_allclose(drawn_through(speed, np.full(50, 3.0)), speed, rtol=0.012)
