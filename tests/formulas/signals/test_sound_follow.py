"""A track that is right is not led astray by a loud tone beside its lines, and what drives no line says nothing."""

import numpy as np

from snath.formulas.signals.candidates import Driven
from snath.formulas.signals.sound_follow import follow
from snath.formulas.signals.sound_lines import lines_of_driven

RATE, PACE, SECONDS = 8000.0, 25.0, 5.0


def test_a_loud_tone_beside_a_line_does_not_carry_the_track_along():
    # By hand: 25 cycles a second all along, lines 3 to 12 of them; 14.18 lines of a belt-driven blade, four times as
    # loud as any, would be line 14 of 25.32 cycles a second, 1.6 cycles further on after 5 s.
    t = np.arange(int(RATE * SECONDS)) / RATE
    generator = np.random.default_rng(5)
    sound = generator.standard_normal(len(t)) + 4 * np.cos(2 * np.pi * 14.18 * PACE * t)
    for line in range(3, 13):
        sound += np.cos(2 * np.pi * (line * PACE * t + generator.uniform()))
    grid = np.arange(0.05, SECONDS, 0.1)
    found = follow(sound.astype(np.float32), RATE, grid, np.full(len(grid), PACE), 0.0, SECONDS)
    gone = found.angle - PACE * found.t
    assert np.ptp(gone) < 0.05
    assert not found.explained.lost


def test_a_belt_of_some_slip_may_sound_on_every_line_its_range_touches():
    # By hand: two tips at 1.75 to 1.85 times the engine of two turns a cycle: 7.0 to 7.4 lines, and 3.5 to 3.7 once
    # a turn, each 0.3 more to either side; from 6.7 up to 7.7 lies line 7, from 3.2 up to 4.0 line 4.
    found = lines_of_driven((Driven(1.75, 1.85, 2),), 2)
    assert {line for line in found if line < 10} == {4, 7}
