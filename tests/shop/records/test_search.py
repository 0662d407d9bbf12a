"""Anything typed finds it, at a cost that does not grow with the shop."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from snath.shop.records import search as searching
from snath.shop.records import store
from snath.shop.records.search import search, words_of
from tests.shop.records.shop_of_our_own import customer, machine

pytestmark = pytest.mark.django_db


def test_words_lose_case_and_accents_and_serials_are_found_with_and_without_their_marks():
    assert words_of("Müller  AB-123/4") == {"muller", "ab", "123", "4", "ab1234"}
    assert words_of("½ in  Ⅸ") == {"1", "2", "12", "in", "ix"}
    assert words_of("-- // ..") == set()


@pytest.mark.parametrize(
    "typed",
    [
        "orchard",
        "ORCH",
        "weir orchard",
        "555-0142",
        "0142",
        "wb-21/0077",
        "WB210077",
        "0077 orchard",
        "orchärd",
    ],
)
def test_a_machine_is_found_by_any_beginning_of_what_it_or_its_owner_is_called(typed):
    mower = machine(customer())
    machine(customer(name="Somebody Else", phone="1"), serial="zz")
    assert mower in search(typed).records


def test_a_job_is_found_by_its_number_its_machine_and_its_customer_and_strangers_are_not(mechanic):
    job = store.open_job(mechanic, machine=machine(customer()))
    other = store.open_job(mechanic, machine=machine(customer(name="Else", phone="9"), serial="zz"))
    assert search("weir 0077").records[0] == job
    assert other not in search("weir").records
    assert job in search(str(job.number)).records


def test_a_renamed_customer_is_found_by_the_new_name_only_also_through_jobs(mechanic):
    owner = customer()
    job = store.open_job(mechanic, machine=machine(owner))
    owner.name, owner.email = "Meadow by the Mill", ""
    owner.save()
    assert job in search("meadow").records
    assert search("orchard").records == ()


@pytest.mark.parametrize("typed", ["", "   ", "%", "_", "' OR 1=1 --", "*", "\x00", "a" * 5000, "\ud7ff"])
def test_odd_text_finds_nothing_and_breaks_nothing(typed):
    machine(customer())
    assert search(typed).records == ()


def test_a_percent_sign_or_underscore_is_not_a_wildcard():
    machine(customer(name="Orchard"), name="x_y")
    assert search("o%d").records == ()


def test_a_search_too_wide_to_finish_says_so_and_more_words_narrow_it(monkeypatch):
    monkeypatch.setattr(searching, "SHOWN", 5)
    for place in range(12):
        machine(name=f"mower {place}", serial=f"S{place:03}")
    wide, narrow = search("mower"), search("mower s007")
    assert (len(wide.records), wide.complete) == (5, False)
    assert ([found.serial for found in narrow.records], narrow.complete) == (["S007"], True)


def test_a_search_takes_the_same_few_queries_in_a_large_shop_as_in_a_small_one(mechanic):
    def queries() -> int:
        with CaptureQueriesContext(
            connection,
        ) as taken:
            search("walk weir 21")
        return len(taken)

    owner = customer()
    store.open_job(mechanic, machine=machine(owner))
    few = queries()
    for place in range(300):
        machine(owner, serial=f"WB-21/{place:04}")
    assert queries() <= few + 4
    assert few <= 10
