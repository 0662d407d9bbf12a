"""What a customer gets without paper: one letter behind a signed link, in the words of the paper."""

import re

import pytest
from django.core import signing
from django.test import Client

from snath.shop.bench.send.views import SALT
from snath.shop.records.models import Customer, JobRecord
from tests.shop.demo_shop import demo_shop

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(mechanic) -> JobRecord:
    demo_shop()
    return JobRecord.objects.filter(number=3).get()


def link_of(page: str) -> str:
    return re.search(r'href="https://[^/"]*(/letter/[^"]*)"', page).group(1)


def words(page: str) -> str:
    return re.search(r"<textarea[^>]*>(.*?)</textarea>", page, re.DOTALL).group(1)


def test_the_link_opens_one_letter_to_anybody_who_holds_it_and_names_no_customer(mechanic, stranger, job):
    page = mechanic.get("/jobs/3/send/").content.decode()
    opened = stranger.get(link_of(page))
    assert opened.status_code == 200
    letter = opened.content.decode()
    assert job.machine.name in letter
    for customer in Customer.objects.all():
        assert customer.name not in letter
    assert stranger.get(f"{link_of(page)}letter.pdf").content.startswith(b"%PDF")
    assert stranger.get("/jobs/3/sheet/").status_code == 302  # and nothing else


@pytest.mark.parametrize("forged", ["x", "a:b:c", "../jobs", "%00"])
def test_a_forged_link_opens_nothing(stranger, job, forged):
    assert stranger.get(f"/letter/{forged}/").status_code == 404


def test_a_link_made_for_another_purpose_and_an_old_one_open_nothing(stranger, job, monkeypatch):
    other = signing.dumps([str(job.pk), job.version], salt="something else")
    nobody = signing.dumps(["1", 1], salt=SALT)  # signed, and of no record
    assert [stranger.get(f"/letter/{one}/").status_code for one in (other, nobody)] == [404, 404]
    good = signing.dumps([str(job.pk), job.version], salt=SALT)
    assert stranger.get(f"/letter/{good}/").status_code == 200
    monkeypatch.setattr("snath.shop.bench.send.views.DAYS", -1)
    assert stranger.get(f"/letter/{good}/").status_code == 404


def test_the_message_says_what_the_letter_says(mechanic, stranger, job):
    page = mechanic.get("/jobs/3/send/").content.decode()
    letter = stranger.get(link_of(page)).content.decode()
    for sentence in re.findall(r"[^\n:]{25,}", words(page))[1:3]:
        assert sentence.strip() in letter


def test_without_the_shops_network_the_page_says_why_there_is_no_link(db):
    demo_shop()
    page = Client(headers={"host": "localhost"}).get("/jobs/3/send/").content.decode()
    assert "/letter/" not in page
    assert "--lan" in page
