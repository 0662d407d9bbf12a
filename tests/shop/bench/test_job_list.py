"""Jobs have dates and what they wait for; a corrected serial number neither reopens a job nor hides it."""

import re
from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from snath.shop.bench.jobs.entries import from_sheet
from snath.shop.records.models import JobRecord
from tests.shop.demo_shop import demo_shop

pytestmark = pytest.mark.django_db


@pytest.fixture
def shop(db) -> Client:
    demo_shop()
    return Client(headers={"host": "localhost"})


def numbers(page: str) -> list[int]:
    return [int(number) for number in re.findall(r'<a class="row" href="/jobs/([0-9]+)/"', page)]


def of(shop: Client, address: str) -> list[int]:
    return numbers(shop.get(address).content.decode())


def planned(shop: Client, number: int, **boxes: str) -> None:
    assert shop.post(f"/jobs/{number}/plan/", boxes).status_code == 302


def test_jobs_are_sorted_by_when_they_are_due_those_without_a_date_last(shop: Client):
    today = timezone.localdate()
    planned(shop, 5, due_back=(today + timedelta(days=3)).isoformat())
    planned(shop, 4, due_back=(today + timedelta(days=1)).isoformat())
    assert of(shop, "/jobs/?sort=due")[:2] == [4, 5]
    assert of(shop, "/jobs/?sort=number") == sorted(of(shop, "/jobs/"), reverse=True)
    opened = JobRecord.objects.order_by("-opened_at").values_list("number", flat=True)
    assert of(shop, "/jobs/?sort=opened") == list(opened)


def test_what_somebody_said_it_waits_for_counts_until_it_is_taken_back(shop: Client):
    own = JobRecord.objects.get(number=3).waits_for
    planned(shop, 3, held_for="customer")
    assert of(shop, "/jobs/?waits=customer") == [3]
    assert "Wait for the customer" in shop.get("/today/").content.decode()
    reply = shop.post(
        "/jobs/3/sheet/", {"hours": "300", "base": str(JobRecord.objects.get(number=3).version)}
    )
    assert reply.status_code == 302
    assert JobRecord.objects.get(number=3).waits_for == "customer"
    planned(shop, 3, held_for="")
    assert JobRecord.objects.get(number=3).waits_for == own


def test_a_done_job_that_waited_for_its_customer_is_done_again(shop: Client):
    planned(shop, 1, held_for="customer")
    planned(shop, 1, held_for="")
    assert JobRecord.objects.get(number=1).waits_for == ""


def test_a_job_leads_to_its_machine_s_history_and_its_customer(shop: Client):
    record = JobRecord.objects.get(number=3)
    page = shop.get("/jobs/3/verdict/").content.decode()
    assert f"/shelf/machines/{record.machine_id}/" in page
    assert f"/shelf/customers/{record.customer_id}/" in page


def with_serial(shop: Client, number: int, serial: str, **boxes: str) -> None:
    record = JobRecord.objects.select_related("machine").get(number=number)
    entries = from_sheet(record.machine.sheet, ".") | {"serial": serial, "base": str(record.version)} | boxes
    assert shop.post(f"/jobs/{number}/machine/", entries).status_code == 302


def test_a_corrected_serial_keeps_the_job_done_and_both_numbers_find_it(shop: Client):
    record = JobRecord.objects.get(number=1)
    old = record.machine.serial
    assert (record.waits_for, bool(old)) == ("", True)
    with_serial(shop, 1, "ZZ-98765")
    assert JobRecord.objects.get(number=1).waits_for == ""
    for serial in (old, "ZZ-98765"):
        assert 1 in of(shop, f"/jobs/?q={serial}")


def test_a_blade_corrected_on_a_done_job_opens_it_again(shop: Client):
    with_serial(shop, 1, "ZZ-98765", p0_arm_1="10 in", p0_arm_2="10 in")
    assert JobRecord.objects.get(number=1).waits_for == "signature"


def test_saving_says_that_it_is_saved(shop: Client):
    version = JobRecord.objects.get(number=3).version
    reply = shop.post("/jobs/3/sheet/", {"hours": "300", "base": str(version)}, follow=True)
    assert f"Saved: version {version + 1}." in reply.content.decode()
