"""A machine that cannot reach its stop is taken down as it was found, and passes nothing until that is put right."""

import pytest
from django.test import Client

from snath.shop.bench.jobs.kept import newest
from snath.shop.records.models import InstrumentRecord
from tests.shop.demo_shop import demo_shop

pytestmark = pytest.mark.django_db

READING = {
    "stage": "as found",
    "looked_over": "on",
    "warm": "on",
    "choke_off": "on",
    "condition": "blades in air",
    "shaft": "crankshaft",
    "instrument": "tach-1",
    "speed_1": "2900",
    "speed_2": "2905",
    "speed_3": "2902",
}


@pytest.fixture
def shop(db) -> Client:
    demo_shop()
    return Client(headers={"host": "localhost"})


def taken(shop: Client, **boxes: str) -> int:
    sent = READING | {"base": str(newest(5).record.version)} | boxes
    return int(shop.post("/jobs/5/reading/", {name: text for name, text in sent.items() if text}).status_code)


def test_without_its_stop_and_without_a_word_why_it_is_no_reading(shop: Client):
    assert taken(shop) == 422
    assert not newest(5).job.as_found.readings


def test_as_found_it_is_taken_down_with_a_fault_that_blocks(shop: Client):
    assert taken(shop, short_of_stop="on") == 302
    job = newest(5)
    assert [reading.value.value * 60 for reading in job.job.as_found.readings] == [
        pytest.approx(2902.3, abs=0.1)
    ]
    marks = {mark.check: mark for mark in job.job.behaviour.checklist.marks}
    assert (marks["cable"].state, marks["cable"].put_right) == ("fault", "")
    assert job.stands.word == "blocked"


@pytest.mark.parametrize("boxes", [{"stage": "as left"}, {"on_stop": "on"}])
def test_it_is_never_left_so_and_never_both(shop: Client, boxes: dict[str, str]):
    assert taken(shop, short_of_stop="on", **boxes) == 422
    assert newest(5).record.version == 1


def test_the_ticks_are_given_once_a_job_but_not_that_of_a_stop_it_cannot_reach(shop: Client):
    page = shop.get("/jobs/5/reading/").content.decode()
    assert 'id="id_warm" checked' not in page
    taken(shop, short_of_stop="on")
    page = shop.get("/jobs/5/reading/").content.decode()
    for name, given in (("warm", True), ("choke_off", True), ("looked_over", True), ("on_stop", False)):
        assert (f'id="id_{name}" checked' in page) is given, name


def test_a_tachometer_is_added_inside_a_reading_only_if_the_reading_holds(shop: Client):
    before = InstrumentRecord.objects.count()
    new = {"instrument": "new", "tach_kind": "contact", "tach_accuracy": "0.1 %", "on_stop": "on"}
    assert taken(shop, **new, speed_2="29") == 422
    assert InstrumentRecord.objects.count() == before
    assert taken(shop, **new) == 302
    assert InstrumentRecord.objects.count() == before + 1
    [reading] = newest(5).job.as_found.readings
    assert reading.instrument == InstrumentRecord.objects.get(kind="contact").code
