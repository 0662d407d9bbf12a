import numpy as np
import pytest

from snath.formulas.signals.candidates import Orders
from snath.formulas.signals.live import LiveReader
from tests.formulas.signals.throwaway import steady
from tests.told import refused

RATE = 48_000
SINGLE = Orders(875 / 60, 5400 / 60, 2, (0.0,))
HALF = RATE // 2


def halves(sound):
    return [(sound[i : i + HALF], i) for i in range(0, len(sound) - HALF + 1, HALF)]


def test_a_figure_comes_within_a_second_and_is_settled_within_two():
    # Property: the speed that was synthesised, 54 rev/s.
    reader = LiveReader(RATE, SINGLE)
    answers = [reader.push(piece, start) for piece, start in halves(steady(rev_s=54.0, seconds=2, rate=RATE))]
    assert answers[1].steady.value == pytest.approx(54.0, rel=2e-3)
    assert answers[3].decided
    assert answers[3].steady.value == pytest.approx(54.0, rel=2e-4)


def test_a_gap_starts_anew_and_mixes_nothing_of_before():
    # Property: 40 rev/s before the gap, 60 after it.
    reader = LiveReader(RATE, SINGLE)
    for piece, start in halves(steady(rev_s=40.0, seconds=2, rate=RATE)):
        reader.push(piece, start)
    after = steady(rev_s=60.0, seconds=2, rate=RATE)
    answers = [reader.push(piece, 10 * RATE + start) for piece, start in halves(after)]
    assert reader.restarts == 1
    assert answers[0].steady is None
    assert answers[-1].steady.value == pytest.approx(60.0, rel=1e-3)


def test_only_the_last_seconds_count():
    # Property: after three seconds at the new speed nothing of the old one is left.
    reader = LiveReader(RATE, SINGLE)
    sound = np.concatenate(
        [steady(rev_s=50.0, seconds=2, rate=RATE), steady(rev_s=53.0, seconds=3, rate=RATE)]
    )
    answers = [reader.push(piece, start) for piece, start in halves(sound)]
    assert answers[-1].steady.value == pytest.approx(53.0, rel=1e-3)


def test_a_rate_no_microphone_has_is_refused():
    with refused("rate"):
        LiveReader(100, SINGLE)
