import numpy as np
import pytest

from snath.formulas.signals.strobe import error_gain, speed_from_images
from tests.told import refused


def test_images_at_1500_and_1000_flashes_mean_3000_rpm():
    # Published: a stroboscope's user manual, p. 16 (read): N = AB/(A - B), its 3,000 rpm figure.
    assert speed_from_images(first=1500 / 60, last=1000 / 60, count=2) * 60 == pytest.approx(3000, abs=1e-6)


def test_five_images_from_6000_down_mean_60000_rpm():
    # Published: handbook of stroboscopy (1977), section 3.4 (from memory): 4 * 6000 * 4285.714 / 1714.286.
    speed = speed_from_images(first=6000 / 60, last=4285.714286 / 60, count=5)
    assert speed * 60 == pytest.approx(60_000, abs=0.01)


@pytest.mark.parametrize(("k", "gain"), [(1, 5**0.5), (2, 13**0.5), (3, 5.0)])
def test_two_readings_blow_up_an_error_by_2_2_to_5(k, gain):
    # By hand: rates N/k and N/(k+1): sqrt((k+1)^2 + k^2), so sqrt 5, sqrt 13, 5.
    assert error_gain(first=60 / k, last=60 / (k + 1), count=2) == pytest.approx(gain)


def test_the_gain_is_what_random_errors_of_both_rates_do():
    # Another road: a million pairs of rates, each off by a tenth of a percent at random.
    generator = np.random.default_rng(1)
    a, b = (rate * (1 + 1e-3 * generator.standard_normal(1_000_000)) for rate in (50.0, 100 / 3))
    spread = float(np.std(speed_from_images(first=a, last=b, count=2) / 100.0)) / 1e-3
    assert spread == pytest.approx(error_gain(first=50.0, last=100 / 3, count=2), rel=0.005)


def test_rates_the_wrong_way_round_are_refused():
    with refused("must be over the last rate"):
        speed_from_images(first=1000 / 60, last=1500 / 60, count=2)
