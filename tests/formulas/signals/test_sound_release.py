"""Release, pipe and fall, each against a sound of the test's own making."""

import numpy as np
import pytest

from snath.formulas.signals.candidates import Orders
from snath.formulas.signals.comb import Pattern
from snath.formulas.signals.sound import speed_from_sound
from snath.formulas.signals.sound_pipe import lasting_noise, pipe_loudness
from snath.formulas.signals.sound_release import released_at

RATE = 4000.0


def firing(turns, until, *, noise, left=0.0):
    """Knocks of 3 ms, one every other turn, in noise; weaker by `left` from that time on."""
    generator = np.random.default_rng(11)
    t = np.arange(len(turns)) / RATE
    since = (turns / 2 % 1) / np.gradient(turns / 2, t)
    knock = np.exp(-since / 0.003) * np.sin(2 * np.pi * 300 * since)
    return np.where(t < until, knock, left * knock) + noise * generator.standard_normal(len(t))


@pytest.mark.parametrize("noise", [0.02, 0.2])
def test_the_release_is_told_to_within_a_firing(noise):
    # By hand: at 50 rev/s a four-stroke single fires every 40 ms; it was last seen to fire within that of 2.13 s.
    turns = 50 * np.arange(int(4 * RATE)) / RATE
    t = np.arange(0.05, 2.0, 0.1)
    told = released_at(firing(turns, 2.13, noise=noise), RATE, t, np.full(len(t), 25.0), 2.05)
    assert told is not None
    assert told.moment == pytest.approx(2.13, abs=0.04)
    assert 0 < told.u < 0.05


def test_no_moment_is_told_where_a_direct_blade_makes_every_line():
    # Property: what goes on after the release says nothing about it.
    turns = 50 * np.arange(int(4 * RATE)) / RATE
    t = np.arange(0.05, 2.0, 0.1)
    sound = firing(turns, 2.13, noise=0.02)
    assert released_at(sound, RATE, t, np.full(len(t), 25.0), 2.05, blade_lines=range(1, 30)) is None


def test_lasting_noise_keeps_hum_and_forgets_a_line_that_passes():
    # By hand: exponential noise of mean 1 has the median ln 2; a tone in every frame stays, one that moves goes.
    power = np.random.default_rng(5).exponential(size=(400, 200))
    power[:, 50] = 100.0
    power[np.arange(400), 100 + np.arange(400) // 5] = 1000.0
    noise = lasting_noise(power, 3.0)
    assert noise[50] == pytest.approx(0.8 * 100 / np.log(2), rel=1e-6)
    assert noise[110:170] == pytest.approx(1.0, rel=0.25)


def test_the_pipe_is_as_loud_as_the_full_lines_that_passed_it():
    # By hand: lines of share 1 and 1/4 at 11 and 3.5 times the noise were 10 and 2.5 / 0.25 = 10 over it.
    ratio = np.ones((6, 100))
    ratio[:, 20], ratio[:, 40] = 11.0, 3.5
    frequency, loud = pipe_loudness(ratio, 2.0, np.full(6, 40.0), Pattern((1.0, 2.0), (1.0, 0.5)))
    assert frequency == pytest.approx([40.0, 80.0])
    assert loud == pytest.approx([10.0, 10.0])


def test_a_faint_fall_is_followed_and_one_of_which_nothing_is_heard_is_soon_hidden():
    # By hand: n = n0 ((1 + b/d) exp(-d t) - b/d), b = 0.3, d = 0.4, from 50 rev/s at 2 s; 20 % of the wave is left.
    t = np.arange(int(4.5 * RATE)) / RATE
    since = np.maximum(t - 2, 0)
    speed = np.maximum(50 * ((1 + 0.75) * np.exp(-0.4 * since) - 0.75), 1.0)
    turns = np.concatenate([[0.0], np.cumsum((speed[1:] + speed[:-1]) / 2) / RATE])
    at = np.arange(2.1, 3.4, 0.1)
    orders = Orders(875 / 60, 5400 / 60, 2, (0.0,))
    track = speed_from_sound(firing(turns, 2.0, noise=0.02, left=0.2), RATE, orders).track
    assert np.interp(at, track.t_s, track.rev_s) == pytest.approx(np.interp(at, t, speed), rel=0.04)
    unheard = speed_from_sound(firing(turns, 2.0, noise=0.02), RATE, orders).track
    assert not any(moment > 3.2 for moment in unheard.t_s)
    later = [
        u / v for moment, v, u in zip(unheard.t_s, unheard.rev_s, unheard.u, strict=True) if moment > 2.5
    ]
    assert all(share > 0.05 for share in later)
