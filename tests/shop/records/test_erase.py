"""A customer is forgotten, and the record stays whole."""

import pytest

from snath.shop.records import rows, store
from snath.shop.records.chain import verify_chain
from snath.shop.records.erase import erase_customer
from snath.shop.records.jobs import Draft, JobVersion
from snath.shop.records.machines import Customer
from snath.shop.records.search import search
from tests.shop.records.shop_of_our_own import customer, machine, save

pytestmark = pytest.mark.django_db


def test_erasing_a_customer_leaves_machines_jobs_and_the_chain_and_nothing_of_the_customer(mechanic):
    owner = customer(address="3 Weir Lane", note="rings after six")
    job = store.open_job(mechanic, machine=machine(owner))
    save(job, mechanic)
    store.save_draft(mechanic, "letter", {"text": "Dear Orchard by the Weir"})
    store.save_draft(mechanic, "other", {"text": "blade 21 in"})
    before = JobVersion.objects.values_list("hash", flat=True)[0]

    erase_customer(owner, mechanic)

    assert verify_chain() == ()
    assert JobVersion.objects.values_list("hash", flat=True)[0] == before
    kept = Customer.objects.get(pk=owner.pk)
    assert kept.erased_at is not None
    assert str(kept) == "(erased)"
    assert [draft.key for draft in Draft.objects.all()] == ["other"]
    assert job in search(str(job.number)).records
    for word in ("orchard", "weir", "0142", "example"):
        assert search(word).records == ()


def test_no_word_of_an_erased_customer_is_left_in_any_table_but_where_they_never_were(mechanic):
    owner = customer(name="Quincequark")
    save(store.open_job(mechanic, machine=machine(owner)), mechanic)
    erase_customer(owner, mechanic)
    assert "quincequark" not in "".join(rows.lines("default", secrets=True)).casefold()


def test_erasing_twice_and_customers_without_any_data_do_no_harm(mechanic):
    owner = customer(name="", phone="", email="")
    store.save_draft(mechanic, "letter", {"text": "anything"})
    erase_customer(owner, mechanic)
    erase_customer(owner, mechanic)
    assert Draft.objects.count() == 1


def test_the_owner_is_told_what_goes_and_what_stays_before_anything_goes(client):
    owner = customer()
    page = client.get(f"/customers/{owner.pk}/erase/", HTTP_HOST="localhost")
    assert b"go for good" in page.content
    assert Customer.objects.get(pk=owner.pk).name == "Orchard by the Weir"
    client.post(f"/customers/{owner.pk}/erase/", HTTP_HOST="localhost")
    assert Customer.objects.get(pk=owner.pk).name == ""
