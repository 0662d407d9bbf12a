import numpy as np
import pytest

from snath.formulas.signals.candidates import Driven, Orders
from snath.formulas.signals.sound import speed_from_sound
from snath.formulas.signals.sound_answer import SECOND
from snath.formulas.signals.sound_evidence import order_spectrum
from snath.formulas.signals.sound_second import CLEAR, known_spans, strays
from tests.formulas.signals.shots import RATE, held, shots

POINTS = 128


def spectrum_of(spacing, *, loud=0.5, seed=1, tones=40):
    """Cycles of 40 lines with a second comb of that spacing and so many tones between them, in noise."""
    generator = np.random.default_rng(seed)
    angle = np.arange(120 * POINTS) / POINTS
    sound = 0.3 * generator.standard_normal(len(angle))
    for line in range(1, 40):
        sound += np.cos(2 * np.pi * line * angle + generator.uniform(0, 6))
        if line <= tones and line * spacing < 40:
            sound += loud * np.cos(2 * np.pi * line * spacing * angle + generator.uniform(0, 6))
    return order_spectrum(sound.reshape(120, POINTS), 40)


@pytest.mark.parametrize("spacing", [0.62, 1.37, 2.23])
def test_lines_of_another_comb_stand_out_and_say_more_the_louder_they_are(spacing):
    # Property: synthesised 6 dB below the engine's own lines, and 10 dB lower than that.
    said = [strays(spectrum_of(spacing, loud=loud)) for loud in (0.0, 0.15, 0.5)]
    assert said == sorted(said)
    assert said[2] > CLEAR


def test_an_engine_alone_has_none():
    # Property: noise brings no lines in 20 draws.
    assert not [seed for seed in range(20) if strays(spectrum_of(1.37, loud=0.0, seed=seed)) > CLEAR]


def test_what_the_sheet_knows_to_turn_with_the_engine_is_its_own():
    # By hand: a blade of two tips at 0.685 turns has its tone and overtones at 2 x 2 x 0.685 = 2.74 lines.
    own = known_spans((Driven(0.67, 0.70, 2),), 2, None, 25.0)
    blade = spectrum_of(2.74, tones=7)
    assert strays(blade) > CLEAR
    assert strays(blade, own) < CLEAR / 2


def test_hum_of_the_mains_is_no_other_engine():
    # By hand: at 24 cycles a second 50 Hz stands at line 2.083, and every multiple of it at as many times that.
    hum = spectrum_of(50 / 24, tones=20)
    assert strays(hum) > CLEAR
    assert strays(hum, known_spans((), 2, 50.0, 24.0)) < CLEAR / 2


def test_beside_another_engine_no_speed_is_decided_but_its_own():
    # Property: neither of two mowers 3 to 8 dB apart is told as the other; often that there are two.
    orders = Orders(875 / 60, 5400 / 60, 2, (0.0,))
    told = 0
    for seed in range(8):
        first = shots(held(51.0, 5), seed=seed)
        other = shots(held(38.3, 5), seed=seed + 100)
        result = speed_from_sound(first + 10 ** (-(3 + seed % 6) / 20) * other, RATE, orders)
        assert not result.decided or result.steady.value == pytest.approx(51.0, rel=0.01)
        told += SECOND in result.notes
    assert told >= 5
