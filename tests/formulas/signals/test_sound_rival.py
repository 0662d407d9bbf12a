"""A second comb in what the followed engine leaves over is another engine's, unless it is the machine's own."""

import numpy as np
import pytest

from snath.formulas.signals.candidates import Driven, Orders
from snath.formulas.signals.sound_follow import follow
from snath.formulas.signals.sound_plan import plan_of
from snath.formulas.signals.sound_rival import rival_heard
from snath.formulas.signals.sound_search import HOP

RATE, SECONDS, PACE = 6000, 3.0, 20.0
SINGLE = plan_of(Orders(15.0, 90.0, 2, (0.0,)))
BELTED = plan_of(Orders(15.0, 90.0, 2, (0.0,), (Driven(0.67, 0.70, 1),)))
COMB = np.arange(1, 25)


def heard(ratio, lines, *, loud=0.5, plan=SINGLE):
    """Whether a rival of so many times the speed is heard where tones stand on these lines of it, beside 40 of the
    engine's, in noise."""
    generator = np.random.default_rng(3)
    angle = PACE * np.arange(int(SECONDS * RATE)) / RATE
    sound = 0.5 * generator.standard_normal(len(angle))
    for line in range(1, 41):
        sound += np.cos(2 * np.pi * line * angle + generator.uniform(0, 6))
    for line in ratio * lines:
        sound += loud * np.cos(2 * np.pi * line * angle + generator.uniform(0, 6))
    t = np.arange(HOP / 2, SECONDS, HOP)
    one = follow(sound, RATE, t, np.full(len(t), PACE), 0.0, SECONDS, plan.turns)
    return rival_heard(sound, RATE, [one], plan)


@pytest.mark.parametrize("ratio", [0.73, 1.38])
def test_another_comb_is_heard_where_its_lines_are_half_as_high_as_the_engines(ratio):
    # Property: 24 lines, each 6 dB under one of the engine's; without them nothing stands there.
    assert heard(ratio, COMB)
    assert not heard(ratio, COMB, loud=0.0)


def test_a_lone_tone_is_no_engine():
    # By hand: one line says 8 nats a second at most, and an engine's must say 25; ten times as loud it says no more.
    assert not heard(1.38, COMB[:1], loud=3.0)


def test_what_the_sheet_lets_the_engine_drive_is_no_rival():
    # By hand: one tip at 0.69 turns has seven tones on the first lines of a four-stroke at 2 x 0.69 = 1.38 times the
    # speed; of the other seven only three stand clear of the engine's, and may say 24 nats a second.
    assert heard(1.38, COMB[:14], loud=1.0)
    assert not heard(1.38, COMB[:14], loud=1.0, plan=BELTED)


@pytest.mark.parametrize(("loud", "other"), [(6.0, True), (3.0, False)])
def test_tones_of_nobody_louder_than_the_engine_are_anothers(loud, other):
    # By hand: 40 lines of the engine have a power of 20; two tones of 6 have one of 36, two of 3 one of 9, and neither
    # two may say more than 16 nats a second as a comb.
    assert heard(1.38, COMB[:2], loud=loud) is other
