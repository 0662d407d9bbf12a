"""Does any short sound end in an answer, however little of a turn it holds?"""

import numpy as np
import pytest

from snath.formulas.signals.candidates import Driven, Orders
from snath.formulas.signals.sound import speed_from_sound

KINDS = {
    "noise": lambda t, rng: rng.normal(size=len(t)),
    "tone": lambda t, rng: np.sin(2 * np.pi * rng.uniform(5, 400) * t),
    "square": lambda t, rng: (
        np.sign(np.sin(2 * np.pi * rng.uniform(5, 100) * t)) + 0.01 * rng.normal(size=len(t))
    ),
    "clicks": lambda t, rng: (rng.random(len(t)) < 0.001).astype(float),
}


@pytest.mark.parametrize("kind", KINDS)
def test_a_twentieth_of_a_second_to_a_second_of_anything_is_read_or_undecided(kind):
    # Property: an answer, never a crash; and nothing that short and shapeless is decided at zero doubt.
    rng = np.random.default_rng(97)
    for place in range(40):
        rate = float(rng.choice([4000, 8000, 16000, 44100]))
        t = np.arange(int(rate * rng.uniform(0.05, 1.2))) / rate
        known = Orders(rng.uniform(5, 15), rng.uniform(40, 200), 2, (0.0,))
        found = speed_from_sound(
            KINDS[kind](t, rng).astype("f4"), rate, known if place % 2 else Orders(11.7, 250.0)
        )
        assert not found.decided or (found.steady is not None and found.steady.u > 0)


def test_a_third_of_a_second_of_an_engine_that_hardly_turns_is_read_or_undecided():
    # Property: an answer, never a crash, where a stretch holds two turns or none, with and without a blade on a belt.
    rng = np.random.default_rng(771)
    for place in range(30):
        rate = float(rng.choice([1000, 8000, 48_000]))
        t = np.arange(int(rate * rng.uniform(0.3, 0.36))) / rate
        driven = (Driven(1.2, 1.4, 3),) if place % 2 else ()
        sound = KINDS["square"](t, rng).astype("f4")
        found = speed_from_sound(sound, rate, Orders(1.0, 400.0, 2, (0.0,), driven))
        assert not found.decided


def test_the_units_of_the_samples_change_nothing():
    # By hand: a factor of two to any power leaves every digit as it was; squares of 1e30 pass single precision.
    t = np.arange(8000) / 8000
    sound = np.exp(-(25 * t % 1) * 20) * np.sin(2 * np.pi * 300 * t)
    sound = (sound + 0.01 * np.random.default_rng(3).normal(size=len(t))).astype("f4")
    orders = Orders(875 / 60, 90.0, 2, (0.0,))
    as_recorded = speed_from_sound(sound, 8000.0, orders)
    assert as_recorded.steady is not None
    for power in (-100, 15, 100):
        assert speed_from_sound(np.ldexp(sound, power), 8000.0, orders) == as_recorded
