"""What do flash rates of single images say, and when do they not say enough?"""

import pytest

from snath.decisions.reading.flashed import flashed_reading
from snath.decisions.reading.instruments import Instrument
from snath.quantities.message import Message
from tests.told import refused

FLASH = Instrument("S1", "stroboscope", "stroboscope", accuracy=0.001, due_on="2099-01-01")
RPM = 1 / 60


def runs(*groups: tuple[float, ...]) -> list[list[float]]:
    return [[rate * RPM for rate in group] for group in groups]


def test_two_successive_images_give_the_speed():
    # Published: a stroboscope's user manual, p. 16: N = A B / (A - B); 1,500 and 1,000 flashes/min stand for 3,000 rpm.
    found = flashed_reading(runs((1500, 1000), (1500, 1000), (1500, 1000)), instrument=FLASH)
    assert found.value.value == pytest.approx(3000 * RPM)
    assert found.confirmed


def test_five_images_give_it_too():
    # Published: handbook of stroboscopy (1977), 3.4 (from memory): (m - 1) f1 fm / (f1 - fm) = 60,000.
    (run,) = runs((6000, 5500, 5000, 4600, 4285.714286))
    assert flashed_reading([run], instrument=FLASH).value.value == pytest.approx(60_000 * RPM, rel=1e-6)


def test_the_error_of_both_rates_is_magnified():
    # By hand: sqrt(1500^2 + 1000^2)/(1500 - 1000) = 3.6056; 0.1 % / sqrt(3) x 3.6056 x 3,000 = 6.245 rpm.
    found = flashed_reading(runs((1500, 1000)), instrument=FLASH)
    assert found.value.u == pytest.approx(6.245 * RPM, rel=1e-3)


def test_an_unmarked_two_tip_blade_is_undecided():
    # By hand: one crisp image at 6,000 and 3,000 of a blade at 3,000 rpm reads 6,000: 100 % high.
    found = flashed_reading(runs((6000, 3000)), instrument=FLASH, alike=2)
    assert not found.decided
    assert [round(c.rev_s / RPM) for c in found.candidates] == [6000, 3000]
    assert found.next_steps == (Message("reading.mark-one"),)


def test_a_lone_rate_is_undecided():
    found = flashed_reading(runs((3000,)))
    assert (found.decided, found.value, len(found.candidates)) == (False, None, 5)


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ([], "nothing"),
        (runs((1000, 1500)), "over the last rate"),
        (runs((1500, 1000), (1500, 750)), "skipped"),
    ],
)
def test_runs_that_cannot_be_are_refused(given, message):
    with refused(message):
        flashed_reading(given, instrument=FLASH)


def test_a_stroboscope_of_unknown_accuracy_confirms_nothing():
    plain = Instrument("S2", "stroboscope", "stroboscope", resolution=1 * RPM)
    three = runs((1500, 1000), (1500, 1000), (1500, 1000))
    assert not flashed_reading(three, instrument=plain).confirmed
