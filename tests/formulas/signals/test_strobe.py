import numpy as np
import pytest

from snath.formulas.signals.strobe import (
    apparent_motion,
    error_gain,
    fooling_rates,
    images_seen,
    measured_from_images,
    speed_from_images,
    speed_from_two_images,
)
from snath.quantities.measured import Line, Measured
from tests.told import refused


def test_images_at_1500_and_1000_flashes_mean_3000_rpm():
    # Published: a stroboscope's user manual, p. 16 (read): N = AB/(A - B), its 3,000 rpm figure.
    assert speed_from_two_images(higher=1500 / 60, lower=1000 / 60) * 60 == pytest.approx(3000, abs=1e-6)


def test_five_images_from_6000_down_mean_60000_rpm():
    # Published: handbook of stroboscopy (1977), section 3.4 (from memory): 4 * 6000 * 4285.714 / 1714.286.
    speed = speed_from_images(first=6000 / 60, last=4285.714286 / 60, count=5)
    assert speed * 60 == pytest.approx(60_000, abs=0.01)


def test_a_shaft_5_rpm_slower_than_the_flash_seems_to_creep_back():
    # Published: two stroboscope manuals (read): object rate less flash rate, 1000 - 1005 = -5.
    assert apparent_motion(rotation=1000 / 60, flash_rate=1005 / 60) * 60 == pytest.approx(-5, abs=1e-9)


def test_an_unmarked_two_tip_blade_shows_one_crisp_image_at_twice_its_speed():
    # By hand: at 6,000 flashes a 3,000 rpm blade turns half a turn between flashes; both tips are alike,
    # so every flash shows the same. One mark is seen at two places instead.
    assert images_seen(rotation=50.0, flash_rate=100.0, symmetry=2) == 1
    assert images_seen(rotation=50.0, flash_rate=100.0) == 2
    assert fooling_rates(rotation=50.0, symmetry=2) == (100.0,)
    assert fooling_rates(rotation=50.0, symmetry=1) == ()


def test_a_part_of_three_tips_is_not_fooled_at_twice_its_speed():
    # By hand: half a turn moves three tips to six different places, two pictures of three tips.
    assert images_seen(rotation=50.0, flash_rate=100.0, symmetry=3) == 2


def test_half_the_speed_shows_one_image_and_a_slow_creep_none():
    # By hand: one flash every second turn; 51 over 50 is 51 places in 50 turns, far more than an eye holds still.
    assert images_seen(rotation=50.0, flash_rate=25.0) == 1
    assert images_seen(rotation=50.0, flash_rate=51.0) is None


@pytest.mark.parametrize(("k", "gain"), [(1, 5**0.5), (2, 13**0.5), (3, 5.0)])
def test_two_readings_blow_up_an_error_by_2_2_to_5(k, gain):
    # By hand: rates N/k and N/(k+1): sqrt((k+1)^2 + k^2), so sqrt 5, sqrt 13, 5.
    assert error_gain(first=60 / k, last=60 / (k + 1), count=2) == pytest.approx(gain)


def test_the_gain_is_what_random_errors_of_both_rates_do():
    # Another road: a million pairs of rates, each off by a tenth of a percent at random.
    generator = np.random.default_rng(1)
    a, b = (rate * (1 + 1e-3 * generator.standard_normal(1_000_000)) for rate in (50.0, 100 / 3))
    spread = float(np.std(speed_from_two_images(higher=a, lower=b) / 100.0)) / 1e-3
    assert spread == pytest.approx(error_gain(first=50.0, last=100 / 3, count=2), rel=0.005)


def test_an_error_of_the_dial_that_both_rates_share_passes_on_once():
    # Property: both rates a share too high make the speed the same share too high.
    rates = [Measured(rate, (Line("dial", 1e-3 * rate),)) for rate in (50.0, 100 / 3)]
    speed = measured_from_images(first=rates[0], last=rates[1], count=2)
    assert speed.value == pytest.approx(100.0)
    assert speed.u == pytest.approx(0.1)


def test_rates_the_wrong_way_round_are_refused():
    with refused("must be over the last rate"):
        speed_from_two_images(higher=1000 / 60, lower=1500 / 60)
