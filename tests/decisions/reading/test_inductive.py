"""What does an inductive tachometer's display mean on this ignition?"""

import pytest

from snath.decisions.machine.parts import Engine
from snath.decisions.reading.inductive import inductive_reading
from snath.decisions.reading.instruments import Instrument
from tests.told import refused

CLAMP = Instrument("C1", "inductive clamp", "inductive", accuracy=0.001, per_turn=1.0, due_on="2099-01-01")
RPM = 1 / 60


def read(shown: float, **engine: object):
    return inductive_reading([shown * RPM] * 3, engine=Engine(**engine), instrument=CLAMP)


@pytest.mark.parametrize(
    ("engine", "true"),
    [
        # Published: a pick-up's manual, section 2.2: a two-stroke sparks once a turn; a four-stroke once in two turns,
        # or once a turn where the spark is wasted (flywheel magneto).
        ({"strokes": 4, "ignition": "wasted spark"}, 3600),
        ({"strokes": 4, "ignition": "spark every cycle"}, 7200),
        ({"strokes": 2, "ignition": "spark every cycle"}, 3600),
    ],
)
def test_the_ignition_decides_what_a_display_set_to_one_spark_a_turn_means(engine, true):
    assert read(3600, **engine).value.value == pytest.approx(true * RPM)


def test_a_double_spark_reads_twice():
    # Common practice, no source: an owners' thread, idle shown 1,600 at a true 800.
    assert read(1600, strokes=4, ignition="double spark").value.value == pytest.approx(800 * RPM)


def test_an_unknown_ignition_leaves_three_speeds_and_says_what_to_do():
    found = read(3600, strokes=4)
    assert not found.decided
    assert [round(c.rev_s / RPM) for c in found.candidates] == [7200, 3600, 1800]
    assert found.next_steps


def test_doubt_scales_with_the_factor():
    once, twice = (read(1600, strokes=4, ignition=kind).value for kind in ("wasted spark", "double spark"))
    assert twice.u == pytest.approx(once.u / 2)


def test_an_engine_without_sparks_is_refused():
    with refused("must not be inductive"):
        read(3600, prime_mover="mains motor", ignition="no spark")
