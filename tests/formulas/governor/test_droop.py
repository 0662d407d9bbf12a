"""Droop on both bases, and frequency of an alternator, against worked examples."""

import numpy as np
import pytest

from snath.formulas.governor.alternator import alternator_frequency, alternator_speed
from snath.formulas.governor.droop import (
    droop_on_loaded,
    droop_on_no_load,
    loaded_speed,
    no_load_speed,
)
from snath.quantities.errors import InputError
from tests.told import refused, told


def test_3750_to_3600_rpm_is_4_17_per_cent_on_loaded_and_4_00_on_no_load():
    # By hand from the definition in ISO 8528-5 (from memory): 150/3600 and 150/3750.
    speeds = {"no_load": 3750 / 60, "loaded": 3600 / 60}
    assert droop_on_loaded(**speeds) * 100 == pytest.approx(4.1667, abs=0.0005)
    assert droop_on_no_load(**speeds) * 100 == pytest.approx(4.0, abs=1e-6)


@pytest.mark.parametrize(
    ("rpm", "poles", "hertz"), [(3600, 2, 60), (3000, 2, 50), (1800, 4, 60), (1500, 4, 50)]
)
def test_the_four_usual_alternators(rpm, poles, hertz):
    # By hand: f = n p / 120 (from memory: any text on machines).
    assert alternator_frequency(rotation=rpm / 60, poles=poles) == pytest.approx(hertz, abs=1e-9)
    assert alternator_speed(frequency=hertz, poles=poles) * 60 == pytest.approx(rpm)


@pytest.mark.parametrize(
    ("droop", "at_60", "at_50", "rpm"), [(0.08, 64.8, 54.0, 3888), (0.05, 63.0, 52.5, 3780)]
)
def test_highest_no_load_frequency_of_a_class(droop, at_60, at_50, rpm):
    # By hand: f (1 + d); class figures of ISO 8528-5: G1 8 % from memory, G2 5 % read in a public
    # building specification that quotes the class. Two poles at 60 Hz turn 60 times a second.
    assert no_load_speed(loaded=60.0, droop=droop) == pytest.approx(at_60, abs=1e-6)
    assert no_load_speed(loaded=50.0, droop=droop) == pytest.approx(at_50, abs=1e-6)
    top = alternator_speed(frequency=no_load_speed(loaded=60.0, droop=droop), poles=2)
    assert top * 60 == pytest.approx(rpm, abs=1e-6)


def test_loaded_and_no_load_undo_each_other():
    # Property: the three formulas are one equation.
    loaded = np.array([20.0, 55.0, 61.7])
    top = no_load_speed(loaded=loaded, droop=0.043)
    assert loaded_speed(no_load=top, droop=0.043) == pytest.approx(loaded)
    assert droop_on_loaded(no_load=top, loaded=loaded) == pytest.approx(np.full(3, 0.043))


def test_loaded_above_no_load_is_refused_by_name():
    with pytest.raises(InputError) as refused:
        droop_on_loaded(no_load=55.0, loaded=56.0)
    assert told(refused.value) == (
        "loaded = 56 rev/s: must not be above the no-load speed, 3,300 rpm: were the two swapped?"
    )


def test_an_odd_number_of_poles_is_refused():
    with refused("poles = 3: must be an even whole number"):
        alternator_frequency(rotation=60.0, poles=3)
