import numpy as np
import pytest

from snath.decisions.machine.parts import Engine, Machine
from snath.decisions.reading.pulse_reading import likely_per_turn, reading_from_pulses, sparks_per_turn
from snath.formulas.signals.pulses.read import speed_from_pulses
from snath.quantities.message import Message
from tests.told import refused


@pytest.mark.parametrize(
    ("strokes", "ignition", "per_turn", "hertz"),
    [
        # Published: an inductive pick-up's manual, section 2.2 (read): at 3,600 rpm, sparks on one lead.
        (4, "wasted spark", 1.0, 60.0),
        (4, "spark every cycle", 0.5, 30.0),
        (2, None, 1.0, 60.0),
    ],
)
def test_sparks_on_one_lead_at_3600_rpm(strokes, ignition, per_turn, hertz):
    engine = Engine(strokes=strokes, ignition=ignition)
    assert sparks_per_turn(engine) == per_turn
    assert sparks_per_turn(engine) * 3600 / 60 == hertz


def test_a_double_spark_read_as_one_shows_twice_the_idle():
    # Common practice, from an owner's account (read: forum thread): 1,600 shown on an engine at 800.
    pulses = np.arange(200) / (1600 / 60)
    shown = speed_from_pulses(pulses, per_turn=1).steady.value
    true = speed_from_pulses(
        pulses, per_turn=sparks_per_turn(Engine(strokes=4, ignition="double spark"))
    ).steady.value
    assert shown * 60 == pytest.approx(1600, abs=1e-6)
    assert true * 60 == pytest.approx(800, abs=1e-6)


@pytest.mark.parametrize(
    ("engine", "allowed"),
    [
        (Engine(), "needs strokes and ignition in the sheet"),
        (Engine(strokes=4), "needs strokes and ignition in the sheet"),
        (Engine(strokes=4, ignition="no spark"), "this engine has no spark"),
    ],
)
def test_an_engine_whose_sparks_nobody_knows_is_refused(engine, allowed):
    with refused(allowed):
        sparks_per_turn(engine)


def test_a_mark_and_a_wasted_spark_are_the_same_number():
    machine = Machine("m", "walk-behind rotary mower", Engine(strokes=4, ignition="wasted spark"))
    assert [n for n, _ in likely_per_turn(machine)] == [1.0]
    assert sorted(n for n, _ in likely_per_turn(None)) == [0.5, 1.0, 2.0]


def test_pulses_nobody_can_place_are_undecided_and_say_what_to_do():
    reading = reading_from_pulses(speed_from_pulses(np.arange(100) * 0.02))
    assert not reading.decided
    assert reading.value is None
    assert len(reading.candidates) == 3
    assert reading.next_steps[0] == Message("pulses.say-per-turn")
