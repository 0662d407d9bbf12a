import numpy as np
import pytest

from snath.formulas.signals.candidates import Orders
from snath.formulas.signals.sound import speed_from_sound


def single_cylinder(*, rev_s, seconds, rate=48_000, noise=0.1, seed=1):
    """Pulses of a four-stroke single, a firing every other turn, with exact truth."""
    t = np.arange(int(seconds * rate)) / rate
    phase = 2 * np.pi * rev_s / 2 * t
    x = sum(np.cos(k * phase + k * k) / (1 + (k / 12) ** 2) for k in range(3, 50))
    return (x + noise * np.std(x) * np.random.default_rng(seed).normal(size=len(x))).astype(np.float32)


def test_a_single_at_3240_rpm_is_heard_with_a_sheet():
    # Property: the speed that was synthesised.
    result = speed_from_sound(
        single_cylinder(rev_s=54.0, seconds=5), 48_000, Orders(875 / 60, 5400 / 60, 2, (0.0,))
    )
    assert result.decided
    assert result.steady.value == pytest.approx(54.0, rel=1e-3)
