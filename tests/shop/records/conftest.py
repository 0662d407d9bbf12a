"""Who works in the shop of the records' tests."""

import pytest

from snath.shop.records.people import Person, Role
from tests.shop.records.shop_of_our_own import person


@pytest.fixture
def mechanic(db) -> Person:
    return person(Role.MECHANIC)
