"""What one database could not keep, the other does not take either."""

import math

import pytest

from snath.quantities.errors import InputError
from snath.shop.records.shop import InstrumentRecord
from tests.shop.records.shop_of_our_own import customer, machine
from tests.told import refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("text", ["x" * 121, "zero\x00byte", "half \ud800 character"])
def test_text_that_a_database_would_refuse_is_refused_at_its_field(text):
    with pytest.raises(InputError) as fault:
        customer(name=text)
    assert fault.value.field == "name"


def test_long_entries_are_refused_whatever_the_table():
    with refused(r"sheet = .*at most 100,000 characters"):
        machine(sheet="#" * 100_001)


@pytest.mark.parametrize("figure", [math.nan, math.inf, -math.inf])
def test_a_figure_that_is_no_number_is_refused(figure):
    with refused("accuracy"):
        InstrumentRecord.objects.create(code="t", name="t", accuracy=figure)
