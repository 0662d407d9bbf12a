"""A wrong entry is named once, in full, and never floods a page."""

import pickle

import numpy as np
import pytest

from snath.quantities.errors import SHOWN, InputError, InputErrors, within
from tests.told import refused, told


def test_the_message_names_field_value_and_what_would_do():
    with pytest.raises(InputError) as caught:
        within("rotation", 3600, 0, 500, "rev/s")
    assert told(caught.value) == "rotation = 3600 rev/s: must be at least 0 and at most 500 rev/s"


@pytest.mark.parametrize("value", [np.nan, np.inf, -np.inf, "x", None, [1.0, np.nan], object()])
def test_what_is_no_finite_number_is_refused(value):
    with refused("rotation"):
        within("rotation", value, 0, 500, "rev/s")


def test_an_end_may_be_left_out():
    assert within("d", 0, 0, 1) == 0
    with refused("over 0"):
        within("d", 0, 0, 1, open_low=True)
    with refused("under 1"):
        within("d", 1, 0, 1, open_high=True)


def test_the_first_wrong_element_of_an_array_is_named():
    with refused("d = 7"):
        within("d", [0.5, 7, 9], 0, 1)
    assert within("d", [0.5, 0.6], 0, 1).shape == (2,)


def test_long_and_unprintable_text_is_shortened_to_one_line():
    fault = InputError("blade", "a\nb\x00" + "x" * 10_000, "must be a length")
    assert len(fault.given) == SHOWN
    assert fault.given.isprintable()


def test_errors_survive_the_way_back_from_another_process():
    fault = InputError("blade", "22", "must have a unit")
    assert str(pickle.loads(pickle.dumps(fault))) == str(fault)
    both = InputErrors((fault, fault))
    assert str(pickle.loads(pickle.dumps(both))) == str(both)
