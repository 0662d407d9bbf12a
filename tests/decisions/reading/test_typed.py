"""When is a typed reading known well enough to carry a verdict?"""

import pytest

from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.typed import typed_reading
from snath.quantities.errors import InputError
from snath.words.render import ENGLISH, say
from tests.machines import RPM

THREE = [3300 * RPM, 3301 * RPM, 3299 * RPM]


def test_a_stated_uncertainty_of_nothing_is_refused_with_what_would_do():
    with pytest.raises(InputError) as caught:
        typed_reading(THREE, stated_u=0.0)
    fault = caught.value
    assert (fault.field, fault.given) == ("u", "0 rpm")
    # By hand: a last digit of 1 rpm is a rectangle of half width 0.5 rpm: 0.5 / sqrt 3 = 0.29 rpm, 1 / 3.46.
    assert "at least the last digit over 3.5, 0.3 rpm where whole rpm are shown" in say(
        fault.allowed, ENGLISH
    )


def test_the_least_believable_uncertainty_is_taken():
    reading = typed_reading([3300 * RPM], stated_u=0.3 * RPM)
    assert reading.confirmed
    assert reading.value.u == pytest.approx(0.3 * RPM)


def test_readings_are_told_as_they_were_typed_and_what_is_not_known_of_the_instrument_is_no_matter_of_theirs():
    # Property: how far an instrument may be off is taken where a limit is judged, not where a figure is typed.
    for plate in ({}, {"accuracy": 0.0005}):
        assert typed_reading(THREE, instrument=Instrument("T1", "tachometer", **plate)).confirmed
