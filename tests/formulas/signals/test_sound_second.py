import numpy as np
import pytest

from snath.formulas.signals.candidates import Driven, Orders
from snath.formulas.signals.sound import speed_from_sound
from snath.formulas.signals.sound_answer import SECOND
from snath.formulas.signals.sound_evidence import order_spectrum
from snath.formulas.signals.sound_second import second_comb, tones_of_own
from tests.formulas.signals.shots import RATE, held, shots

POINTS = 128


def spectrum_of(spacing, *, loud=0.5, seed=1):
    """Cycles of 40 lines with a second comb of that spacing between them, in noise."""
    generator = np.random.default_rng(seed)
    angle = np.arange(120 * POINTS) / POINTS
    sound = 0.3 * generator.standard_normal(len(angle))
    for line in range(1, 40):
        sound += np.cos(2 * np.pi * line * angle + generator.uniform(0, 6))
        if line * spacing < 40:
            sound += loud * np.cos(2 * np.pi * line * spacing * angle + generator.uniform(0, 6))
    return order_spectrum(sound.reshape(120, POINTS), 40)


@pytest.mark.parametrize("spacing", [0.62, 1.37, 2.23])
def test_a_comb_between_the_lines_is_found_by_its_spacing(spacing):
    # Property: the spacing that was synthesised or a multiple of it, to half a bin of a 24th at its last line.
    many = second_comb(spectrum_of(spacing), 0.3, 3.0) / spacing
    assert many == pytest.approx(max(round(many), 1), rel=0.01)


def test_an_engine_alone_has_none():
    # Property: noise brings no comb in 20 draws.
    assert not [seed for seed in range(20) if second_comb(spectrum_of(1.37, loud=0.0, seed=seed), 0.3, 3.0)]


def test_what_the_sheet_knows_to_turn_with_the_engine_is_its_own():
    # By hand: a blade of two tips at 0.685 turns with every tone of a comb of 2 x 2 x 0.685 = 2.74 lines.
    own = tones_of_own((Driven(0.67, 0.70, 2),), None, 2)
    assert second_comb(spectrum_of(2.74), 2.5, 3.0) is not None
    assert second_comb(spectrum_of(2.74), 2.5, 3.0, own) is None


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
