"""Does any short sound end in an answer, however little of a turn it holds?"""

import numpy as np
import pytest

from snath.formulas.signals.candidates import Orders
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
