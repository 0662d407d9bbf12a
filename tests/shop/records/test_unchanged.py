"""What a request that reads is told once more is what stands in the database now, whoever changed it and however."""

import threading

import pytest
from django.core import serializers
from django.db import connection, connections
from django.test import Client
from django.test.utils import CaptureQueriesContext

from snath.shop.bench.jobs.kept import newest
from snath.shop.records import store
from snath.shop.records.jobs import JobRecord
from snath.shop.records.people import Person
from snath.shop.records.shop import InstrumentRecord, ShopSettings
from snath.shop.records.unchanged import forget, reading_only, state_of_database, unchanged
from tests.shop.demo_shop import demo_shop
from tests.shop.records.shop_of_our_own import customer

pytestmark = pytest.mark.django_db(
    transaction=True
)  # as pages are served; inside one, everything is asked anew
PAGES = ("window", "reading", "verdict", "sheet", "versions", "plan", "machine", "running")


@pytest.fixture(autouse=True)
def nothing_kept():
    forget()
    yield
    forget()


def test_a_question_is_put_once_until_a_row_changes_here_or_elsewhere():
    asked: list[str] = []

    def look() -> str:
        with reading_only():
            return unchanged(("x",), lambda: asked.append("once") or f"answer {len(asked)}")

    def elsewhere() -> None:
        customer(name="Meadow")
        connections.close_all()

    assert (look(), look()) == ("answer 1", "answer 1")
    customer(name="Orchard")
    assert look() == "answer 2"
    other = threading.Thread(target=elsewhere)
    other.start()
    other.join()
    assert (look(), look()) == ("answer 3", "answer 3")
    before, old = state_of_database(), connection.connection
    connection.connect()  # another line counts from the beginning: its figures may be those of the old one
    old.close()
    assert state_of_database() != before
    assert look() == "answer 4"


def test_whoever_may_change_something_is_told_anew_each_time():
    count = iter(range(9))
    assert [unchanged(("x",), lambda: next(count)) for _ in range(2)] == [0, 1]
    with reading_only():
        assert [unchanged(("x",), lambda: next(count)) for _ in range(2)] == [2, 2]
    assert unchanged(("x",), lambda: next(count)) == 3


def test_pages_of_a_job_cost_one_small_question_show_every_change_at_once_and_change_nothing_of_what_is_kept():
    demo_shop()
    browser, who = Client(HTTP_HOST="localhost"), Person.objects.local_owner()

    def page(name: str) -> str:
        answer = browser.get(f"/jobs/3/{name}/")
        assert answer.status_code == 200, name
        return answer.content.decode()

    for name in PAGES:
        page(name)
    for name in PAGES[:4]:
        with CaptureQueriesContext(connection) as taken:
            page(name)
        assert len(taken) == 1, [query["sql"] for query in taken]
    with reading_only():
        kept = newest(3).record
    assert serializers.serialize("json", [kept]) == serializers.serialize(
        "json", [JobRecord.objects.get(number=3)]
    )

    store.save_draft(who, "job:3:reading", {"speed_1": ["3123"]})
    assert 'value="3123"' in page("reading")
    store.save_draft(who, "job:3:reading", {"speed_1": ["3124"]})
    assert 'value="3124"' in page("reading")
    store.drop_draft(who, "job:3:reading")
    assert 'value="3124"' not in page("reading")
    InstrumentRecord.objects.create(code="new-one", name="counter from the loft")
    assert "counter from the loft" in page("reading")
    assert "countersigned_by" in page("sheet")
    ShopSettings.objects.update(one_person=True)
    assert "countersigned_by" not in page("sheet")
    old = kept.versions.get(version=kept.version)
    store.save_version(JobRecord.objects.get(number=3), old.job_json, old.result_json, old.version, who)
    for name in (
        "reading",
        "verdict",
        "sheet",
    ):  # the same job under a newer version: what is sent builds on it
        assert f'name="base" value="{old.version + 1}"' in page(name)
