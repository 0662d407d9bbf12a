"""When a drive is not to be picked, and when picking one keeps everything or nothing."""

import pytest
from django.db import OperationalError
from django.test import Client

from snath.shop.records.models import JobRecord, JobVersion, MachineRecord
from tests.shop.bench.test_drive_pages import PAIR, job_on, offers, shop, stocked, with_route

__all__ = ["shop"]
pytestmark = pytest.mark.django_db


def test_an_accident_machine_shows_drives_and_takes_none(shop: Client):
    stocked(shop)
    number = job_on("belt_28_inch.toml").number
    with_route(shop, number, PAIR)
    wanted = offers(shop.get(f"/jobs/{number}/drive/").content.decode())[0]
    shop.post(f"/jobs/{number}/sheet/", {"outcome": "accident machine: read only", "base": "2"})
    page = shop.get(f"/jobs/{number}/drive/").content.decode()
    assert "Accident machine: read only" in page
    assert "Put this drive into the job" not in page
    reply = shop.post(f"/jobs/{number}/drive/pick/", {"piece": wanted, "base": "3"})
    assert reply.status_code == 409
    assert "An accident machine is only read" in reply.content.decode()
    assert JobRecord.objects.get(number=number).version == 3


def test_with_nothing_sized_on_the_shelf_the_page_says_what_comes_first(shop: Client):
    number = job_on("belt_28_inch.toml").number
    page = shop.get(f"/jobs/{number}/drive/").content.decode()
    assert "First: pulleys and belts with their sizes" in page
    assert 'href="/shelf/stock/"' in page
    stocked(shop)
    assert "First: pulleys" not in shop.get(f"/jobs/{number}/drive/").content.decode()


def test_a_picked_drive_and_the_shelfs_sheet_are_kept_together_or_not_at_all(shop: Client, monkeypatch):
    stocked(shop)
    record = job_on("belt_28_inch.toml")
    with_route(shop, record.number, PAIR)
    wanted = offers(shop.get(f"/jobs/{record.number}/drive/").content.decode())[0]
    sheet, versions = record.machine.sheet, JobVersion.objects.count()

    def held(*args, **kwargs):
        raise OperationalError("database is locked")

    monkeypatch.setattr(MachineRecord, "save", held)
    browser = Client(headers={"host": "localhost"}, raise_request_exception=False)
    reply = browser.post(f"/jobs/{record.number}/drive/pick/", {"piece": wanted, "base": "2"})
    assert reply.status_code == 503
    assert JobVersion.objects.count() == versions
    record.machine.refresh_from_db()
    assert record.machine.sheet == sheet
