"""The demo shop shows every state a job can be in, ways out from stock, and one job with all that was looked at."""

import pytest
from django.test import Client
from django.utils import timezone

from snath.shop.bench.demo.assets import DATA
from snath.shop.bench.demo.fill import fill_once
from snath.shop.bench.jobs.kept import OpenJob, newest
from snath.shop.records.models import JobRecord, StockPart
from snath.shop.records.store import shop_settings
from snath.shop.records.verify import verify

pytestmark = pytest.mark.django_db

RUNNING = ("governor", "setting", "stop", "throw", "balance", "checks")


@pytest.fixture
def demo(db) -> Client:
    assert fill_once()
    return Client(headers={"host": "localhost"})


def opened(title: str) -> OpenJob:
    return newest(JobRecord.objects.get(title=title).number)


def test_it_is_put_into_an_empty_shop_once_and_says_that_it_is_invented(demo):
    assert not fill_once()
    assert "invented" in shop_settings().name
    for folder in DATA.iterdir():
        for file in folder.iterdir():
            assert file.name.endswith(".csv") or file.read_text("utf-8").startswith(
                "# Invented, for the demo"
            )


def test_what_is_kept_of_it_holds_together_and_every_reading_was_taken_while_its_job_was_open(demo):
    assert verify().whole  # as `snath verify` asks it: the first thing an office tries
    for record in JobRecord.objects.all():
        job = newest(record.number).job
        readings = (*job.as_found.readings, *job.as_left.readings)
        days = {reading.at[:10] for reading in readings}
        assert days <= {timezone.localtime(record.opened_at).date().isoformat()}, record.number


def test_there_is_a_job_in_every_state(demo):
    assert set(JobRecord.objects.values_list("waits_for", flat=True)) == {"reading", "part", "signature", ""}


def test_the_shelf_has_parts_with_sizes_and_parts_without(demo):
    sized = StockPart.objects.filter(kind__in=("pulley", "belt")).exclude(data="{}")
    assert (sized.count(), StockPart.objects.filter(data="{}").count()) == (10, 4)


def test_the_drive_page_shows_ways_out_from_the_shelf(demo):
    job = opened("Weir rider, one spindle")
    assert job.result.window.setting == "stop"  # the maker's figure lies past what its blade allows
    text = demo.get(f"/jobs/{job.record.number}/drive/").content.decode()
    # By hand: 4 over 5 1/2 in is 0.7273, and 19,000 / (pi 28/12) / 0.7273 = 3,563.9 rpm, rounded down.
    assert "stock number D-12" in text
    assert "3,563 rpm" in text


def test_one_job_has_all_that_a_machine_does_beside_its_speed(demo):
    result = opened("Brook walk-behind").result
    done = result.behaviour
    # Invented data: 55 rpm to each side and 3,100 against 2,962 rpm were put into the tracks.
    assert done.governor_found.hunts
    assert done.governor_found.half_swing * 60 == pytest.approx(55, abs=1.5)
    assert not done.governor_left.hunts
    page = demo.get(f"/jobs/{opened('Brook walk-behind').record.number}/verdict/").content.decode()
    assert "It holds its speed: no hunting was found." in page
    assert done.governor_left.droop_on_loaded.value == pytest.approx(138 / 2962, abs=0.001)
    assert done.setting.advice == "leave it"
    # By hand: n' = -(17 + 0.0045 n^2) from 51.667 rev/s to rest is 2.52 s.
    assert done.stop.word == "pass"
    assert done.stop.evidence.value == pytest.approx(2.52, abs=0.05)
    # By hand: 6 g at 250 mm times (2 pi 3100/60)^2 = 158.1 N.
    assert done.balance.force == pytest.approx(158.1, abs=0.1)
    assert done.throw is not None
    assert done.checklist.may_set
    assert result.as_found.stands.word == "fail"
    assert result.as_left.stands.word == "pass"


@pytest.mark.parametrize(
    "page", [*(f"running/{part}/" for part in RUNNING), "running/", "sheet.pdf", "letter.pdf"]
)
def test_each_of_its_pages_opens(demo, page):
    number = opened("Brook walk-behind").record.number
    assert demo.get(f"/jobs/{number}/{page}").status_code == 200
