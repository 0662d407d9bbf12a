"""The steps of listening, each against arithmetic of its own."""

import numpy as np
import pytest

from snath.formulas.signals.aliases import same_sound
from snath.formulas.signals.comb import firing_pattern, firing_shares
from snath.formulas.signals.sound_angle import clock_of, lines_by_block, unrolled
from snath.formulas.signals.sound_blade import without_tones
from snath.formulas.signals.sound_evidence import (
    FAINTEST,
    GRAIN,
    OrderSpectrum,
    comb_evidence,
    line_densities,
)
from snath.formulas.signals.sound_hum import mains_heard, without_hum
from snath.formulas.signals.sound_mean import held
from snath.formulas.signals.spectra import decimated
from snath.formulas.signals.track import best_path


def test_an_even_twin_has_no_odd_lines_and_a_vee_at_a_quarter_lacks_every_fourth_from_the_second():
    # By hand: |1 + exp(2 pi i n / 2)| is 0 for odd n; |1 + exp(2 pi i n / 4)| is 0 for n = 2, 6, 10.
    assert firing_shares(lines=[1, 2, 3, 4], firings=(0.0, 0.5)) == pytest.approx([0, 1, 0, 1], abs=1e-12)
    assert firing_shares(lines=[2, 6, 10, 4], firings=(0.0, 0.25)) == pytest.approx([0, 0, 0, 1], abs=1e-12)
    # By hand: |1 + i|^2 / 4 = 1/2.
    assert firing_shares(lines=[1], firings=(0.0, 0.25)) == pytest.approx([0.5])


def test_a_four_stroke_single_has_every_half_order():
    # By hand: a firing every other turn repeats at half the crankshaft's rate.
    assert firing_pattern(cycle_turns=2, firings=(0.0,)).orders[:4] == (0.5, 1.0, 1.5, 2.0)


def test_forty_firings_a_second_are_a_single_at_80_a_twin_at_40_and_a_four_at_20():
    # By hand: a four-stroke cylinder fires once in two turns.
    named = {
        round(speed, 9): how.name for speed, how in same_sound(cycle_rate=40, rev_s_low=10, rev_s_high=250)
    }
    assert sorted(named) == [20, 40, 80]
    assert [speed for speed, _ in same_sound(cycle_rate=40, rev_s_low=30, rev_s_high=59)] == [40]


def test_lowering_the_rate_keeps_a_tone_in_time_and_in_size():
    # Property: 200 Hz is far below the new half rate; the same moments, the same wave.
    t = np.arange(48_000) / 48_000
    low, rate = decimated(np.sin(2 * np.pi * 200 * t), 48_000)
    assert rate == 8000
    again = np.sin(2 * np.pi * 200 * np.arange(len(low)) / rate)
    assert np.abs(low - again)[100:-100].max() < 0.02


def test_a_path_keeps_to_the_ridge_that_its_slopes_lead_along():
    # Property: a ridge climbing 5 places a frame beats a louder speckle that nothing leads to.
    score = np.zeros((12, 200), dtype=np.float32)
    slopes = np.zeros((12, 200), dtype=np.int32)
    ridge = 40 + 5 * np.arange(12)
    score[np.arange(12), ridge] = 5
    slopes[np.arange(12), ridge] = 5
    score[6, 180] = 7
    assert np.array_equal(best_path(score, slopes), ridge)


def path_tried_out(score, slopes):
    """The best path by a plain table, place by place."""
    strays = (-16, -11, -7, -4, -2, -1, 0, 1, 2, 4, 7, 11, 16)
    frames, places = score.shape
    total, came = [score[0].astype(float)], []
    for i in range(1, frames):
        now, back = np.full(places, -np.inf), np.zeros(places, dtype=int)
        for place in range(places):
            for stray in strays:
                before = place - slopes[i, place] + stray
                if 0 <= before < places:
                    worth = total[-1][before] - 0.5 * np.log1p((stray / 3) ** 2) + score[i, place]
                    if worth > now[place]:
                        now[place], back[place] = worth, before
        total.append(now)
        came.append(back)
    path = [int(total[-1].argmax())]
    for back in came[::-1]:
        path.append(int(back[path[-1]]))
    return path[::-1]


@pytest.mark.parametrize(("noise", "clear"), [(1.0, 0.0), (3.0, 0.0), (3.0, 5.0), (1.0, 15.0)])
@pytest.mark.parametrize("seed", range(6))
def test_the_best_path_is_the_best_of_all_however_clear_the_evidence(noise, clear, seed):
    # docs/sound.md, section 1: a stray of n places costs ln(1 + (n/3)^2) / 2. Tried out without any short cut.
    generator = np.random.default_rng((seed, int(clear)))
    score = generator.exponential(noise, (9, 60)).astype(np.float32)
    ridge = np.clip(25 + np.cumsum(generator.choice([-4, -1, 0, 1, 7], 9)), 0, 59)
    score[np.arange(9), ridge] += clear
    slopes = generator.integers(-3, 4, (9, 60)).astype(np.int32)
    assert best_path(score, slopes).tolist() == path_tried_out(score, slopes)


@pytest.mark.parametrize("points", [64, 130, 190, 300, 1000])
def test_what_is_averaged_before_it_is_unrolled_stays_in_time(points):
    # By hand: the mean of a ramp around a moment is the ramp there; of an even number of samples, half of one off.
    rate, paces = 16_000, np.full(21, 20.0)
    times = unrolled(np.arange(2 * rate) / rate, rate, clock_of(np.arange(21) / 10, paces, 0, 2), points)
    wanted = np.arange(times.size) / points / 20
    inner = slice(points, -points)
    assert np.abs(times.ravel() - wanted)[inner].max() <= 0.51 / rate


def test_unrolling_a_sweep_leaves_a_line_that_stands_still():
    # Property: the third line of a cycle that speeds up from 20 to 30 a second is one number in every block.
    rate = 16_000
    t = np.arange(2 * rate) / rate
    sound = np.cos(2 * np.pi * 3 * (20 * t + 2.5 * t**2)).astype(np.float32)
    grid = np.arange(0, 2.01, 0.1)
    cycles = unrolled(sound, rate, clock_of(grid, 20 + 5 * grid, 0, 2), 64)
    lines = lines_by_block(cycles, 5, 6)[:, 2]
    # By hand: a cosine of size 1 has the complex amplitude 1/2.
    assert np.abs(lines) == pytest.approx(0.5, abs=0.01)
    assert np.ptp(np.angle(lines)) < 0.05


def test_a_tone_between_the_lines_is_taken_out_and_the_lines_are_left():
    # Property: what is left is the engine's line alone.
    place = (np.arange(64 * 40) / 64).reshape(40, 64)
    line = np.cos(2 * np.pi * 4 * place)
    tone = 3 * np.cos(2 * np.pi * 5.37 * place + 1)
    left = without_tones((line + tone).astype(np.float32), (5.37,))
    assert np.abs(left - line)[6:-6].max() < 0.15


def test_white_phases_give_the_least_squares_slope():
    # Another road: numpy's polynomial fit.
    t = np.linspace(0.05, 3.95, 40)
    phase = 25 * t + 0.002 * np.random.default_rng(4).standard_normal(40)
    found = held(t, phase, 0.002**2, (0, 4), t, 25.0, even=True)
    assert found.rate == pytest.approx(np.polyfit(t, phase, 1)[0], rel=1e-9)
    # By hand: sigma / sqrt(sum (t - mean)^2).
    assert found.u == pytest.approx(0.002 / np.sqrt(((t - t.mean()) ** 2).sum()), rel=1e-6)


def test_jittering_cycles_give_the_angle_over_the_time():
    # By hand: for a random walk the two ends say all that can be known of its drift.
    generator = np.random.default_rng(8)
    t = np.linspace(0.05, 3.95, 40)
    walk = np.cumsum(0.005 * np.sqrt(25 * 0.1) * generator.standard_normal(40))
    found = held(t, 25 * t + walk, 1e-10, (0, 4), t, 25.0)
    ends = 25 + (walk[-1] - walk[0]) / (t[-1] - t[0])
    assert found.rate == pytest.approx(ends, abs=0.3 * found.u)
    assert 0.002 <= found.jitter <= 0.012


@pytest.mark.parametrize("seed", range(5))
def test_a_swing_faster_than_phases_are_pooled_is_not_taken_for_jitter(seed):
    # Another road: the swing the phases were made of, 2.4 a second and 3 % to each side, one phase a cycle.
    generator = np.random.default_rng(seed)
    t = np.arange(69) / 13.8 + 0.05
    swing = 2 * np.pi * 2.4
    phase = 13.8 * (t - 0.03 / swing * np.cos(swing * t))
    phase += 0.003 * generator.standard_normal(69) + np.cumsum(0.005 * generator.standard_normal(69))
    found = held(t, phase, 0.003**2, (0, 5), t, 13.8)
    off = found.pace / (13.8 * (1 + 0.03 * np.sin(swing * t))) - 1
    assert np.median(np.abs(off)) < 0.005


def test_hum_goes_and_an_engine_at_the_mains_frequency_stays():
    # Property: three hum lines at 50 Hz are hum; twenty lines at 50 Hz are an engine.
    rate = 8000
    t = np.arange(4 * rate) / rate
    noise = np.random.default_rng(1).standard_normal(len(t))
    hum = sum(np.cos(2 * np.pi * 50 * n * t) for n in (1, 2, 3))
    engine = sum(np.cos(2 * np.pi * 50 * n * t) for n in range(1, 21))
    clean, mains = without_hum(np.fft.rfft(noise + hum), rate / len(t))
    assert mains == 50
    assert abs(clean[200]) < 0.1 * abs(np.fft.rfft(noise + hum)[200])
    assert without_hum(np.fft.rfft(noise + engine), rate / len(t))[1] is None


@pytest.mark.parametrize("mains", [50, 60])
def test_the_mains_are_heard_by_the_hum_of_a_rectifier_too(mains):
    # By hand: a rectifier turns over every other half wave, which leaves the even multiples; a comb at 47 Hz, and noise
    # alone, stand at no two multiples of either.
    rate = 8000
    t = np.arange(4 * rate) / rate
    noise = 0.1 * np.random.default_rng(mains).standard_normal(len(t))
    rectified = np.abs(np.sin(2 * np.pi * mains * t))
    engine = sum(np.cos(2 * np.pi * 47 * n * t) for n in range(1, 21))
    assert mains_heard(np.fft.rfft(noise + rectified), rate / len(t)) == mains
    for other in (noise, noise + engine):
        assert mains_heard(np.fft.rfft(other), rate / len(t)) is None


def test_a_line_that_must_drown_in_the_noise_says_nothing_and_a_loud_one_by_its_absence_much():
    # Property: differences of two densities, both of area 1; e^-10 of the noise changes no level, e^6 every one.
    known = line_densities()
    rows = np.arange(len(known.full)) * GRAIN + FAINTEST
    faint, loud = known.full[0], known.full[np.argmin(np.abs(rows - 6))]
    assert np.abs(known.full[rows < 5].sum(axis=1) * GRAIN).max() < 0.01
    assert np.abs(faint).max() < 0.05 * known.alone.max()
    assert (known.alone + loud)[:8].sum() < 0.25 * known.alone[
        :8
    ].sum()  # gone in 15 of 100, and anything in 20


def test_half_the_speed_of_an_even_twin_does_not_lose_by_its_many_silent_lines_alone():
    # Property: where nothing is heard at all no comb is likelier than another.
    quiet = OrderSpectrum(np.full(800, 0.35), np.ones(800), np.zeros(800), np.full(800, 0.35), 24)
    share = np.where(np.arange(1, 31) % 2 == 0, 1.0, 0.003)
    said = [comb_evidence(quiet, np.arange(1, 31) * at, share, np.zeros(30, bool)) for at in (0.5, 1.0)]
    assert np.abs(said).max() < 1.0
