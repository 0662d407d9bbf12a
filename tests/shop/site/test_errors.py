"""A page that cannot be given says what happened, that nothing was lost, and what to do next."""

import pytest
from django.db import OperationalError
from django.test import Client

from snath.shop.records.machines import Customer
from snath.shop.site.errors import is_busy


@pytest.fixture
def local() -> Client:
    return Client(HTTP_HOST="localhost", raise_request_exception=False)


def test_an_address_with_nothing_behind_it_offers_the_ways_on(local, db):
    for place in ("/jobs/987654/", "/no/such/page/", "/tag/11111111-1111-4111-8111-111111111111/"):
        answer = local.get(place)
        assert answer.status_code == 404
        text = answer.content.decode()
        assert "Nothing was changed" in text
        assert 'href="/jobs/"' in text


def held(*args, **kwargs):
    raise OperationalError("database is locked")


def test_a_database_held_by_others_loses_no_typing_and_offers_to_save_again(local, db, monkeypatch):
    typed = {"name": "Meadow & Sons <north>", "phone": "555 0101"}
    with monkeypatch.context() as lock:
        lock.setattr(Customer, "save", held)
        answer = local.post("/shelf/customers/", typed)
    text = answer.content.decode()
    assert answer.status_code == 503
    assert answer["Retry-After"] == "5"
    assert "Not saved: somebody else is saving just now" in text
    assert 'value="Meadow &amp; Sons &lt;north&gt;"' in text
    assert 'action="/shelf/customers/"' in text
    assert Customer.objects.count() == 0
    assert local.post("/shelf/customers/", typed).status_code == 302
    assert Customer.objects.get().name == "Meadow & Sons <north>"


def test_a_password_is_not_written_into_the_page_that_offers_to_save_again(local, db, monkeypatch):
    monkeypatch.setattr("snath.shop.site.people.people_views.add_person", held)
    secret = "long grass, dull blade"
    answer = local.post(
        "/people/add/", {"name": "x", "role": "mechanic", "password": secret, "again": secret}
    )
    assert answer.status_code == 503
    assert secret not in answer.content.decode()
    assert "type the password once more" in answer.content.decode()


def test_what_counts_as_held_by_others():
    assert is_busy(OperationalError("database is locked"))
    assert is_busy(OperationalError("canceling statement due to lock timeout"))
    assert not is_busy(OperationalError("no such table: jobs"))
    assert not is_busy(ValueError("database is locked"))
