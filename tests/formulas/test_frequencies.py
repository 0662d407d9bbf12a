"""The hum a shaft speed makes."""

import pytest

from snath.formulas.frequencies import alternator_frequency, firing_frequency, rotation_at_frequency
from snath.quantities.errors import InputError
from snath.rules.load import shipped_rules
from snath.rules.select import rule_by_id


@pytest.mark.parametrize(
    ("rpm", "poles", "hertz"), [(3600, 2, 60), (3000, 2, 50), (1800, 4, 60), (1500, 4, 50)]
)
def test_alternator_frequency(rpm, poles, hertz):
    # Derived: f = n p / 120, any text on electrical machines (from memory).
    assert alternator_frequency(rotation=rpm / 60, poles=poles) == pytest.approx(hertz, abs=1e-9)
    assert rotation_at_frequency(frequency=hertz, poles=poles) * 60 == pytest.approx(rpm, abs=1e-6)


@pytest.mark.parametrize(("grade", "f60", "f50"), [("g1", 64.8, 54.0), ("g2", 63.0, 52.5)])
def test_the_highest_no_load_frequency_a_class_allows(grade, f60, f50):
    # Derived: rated frequency times 1 + droop of the class (ISO 8528-5: G1 from memory, G2 read second-hand).
    droop = rule_by_id(shipped_rules(), f"generator-droop-{grade}").at_most
    assert 60 * (1 + droop) == pytest.approx(f60, abs=1e-6)
    assert 50 * (1 + droop) == pytest.approx(f50, abs=1e-6)
    # By hand: two poles turn 60 rpm for every hertz.
    assert rotation_at_frequency(frequency=f60, poles=2) * 60 == pytest.approx(60 * f60, abs=1e-6)


@pytest.mark.parametrize(
    ("rpm", "cylinders", "cycle_turns", "hertz"),
    [(3600, 1, 2, 30), (3600, 2, 2, 60), (9000, 1, 1, 150)],  # by hand: n z / (60 c)
)
def test_firings_a_second(rpm, cylinders, cycle_turns, hertz):
    found = firing_frequency(rotation=rpm / 60, cylinders=cylinders, cycle_turns=cycle_turns)
    assert found == pytest.approx(hertz, rel=1e-12)


@pytest.mark.parametrize(
    "call",
    [
        lambda: alternator_frequency(rotation=3600, poles=2),
        lambda: alternator_frequency(rotation=60, poles=1),
        lambda: rotation_at_frequency(frequency=-1, poles=2),
        lambda: firing_frequency(rotation=60, cylinders=0, cycle_turns=2),
        lambda: firing_frequency(rotation=60, cylinders=1, cycle_turns=4),
    ],
)
def test_what_no_machine_has_is_refused(call):
    with pytest.raises(InputError):
        call()
