"""A new shop: three questions, each of which may wait, and a tachometer of two boxes that starts as bought."""

import pytest
from django.test import Client
from django.utils import timezone

from snath.decisions.reading.assumed import assumed
from snath.shop.records.instrument_checks import instrument_of
from snath.shop.records.models import InstrumentRecord
from snath.shop.records.store import shop_settings

pytestmark = pytest.mark.django_db

ANSWERS = {
    "name": "Example Mowers",
    "market": "US",
    "units": "inch",
    "tach_kind": "optical",
    "tach_accuracy": "",
}


@pytest.fixture
def shop(db) -> Client:
    return Client(headers={"host": "localhost"})


def test_a_new_shop_is_asked_on_every_way_in_and_no_more_once_it_has_answered(shop: Client):
    for path in ("/", "/today/"):
        assert "Set up this shop" in shop.get(path).content.decode()
    assert shop.post("/start/", ANSWERS).status_code == 302
    for path in ("/", "/today/"):
        assert "Set up this shop" not in shop.get(path).content.decode()
    kept = shop_settings()
    assert (kept.name, kept.market, kept.units, kept.paper) == ("Example Mowers", "US", "inch", "letter")


def test_every_question_may_wait(shop: Client):
    assert shop.post("/start/", {"units": "metric"}).status_code == 302
    assert (shop_settings().units, InstrumentRecord.objects.count()) == ("metric", 0)


def test_a_tachometer_starts_as_bought_and_its_check_is_not_due_yet(shop: Client):
    shop.post("/start/", ANSWERS)
    kept = InstrumentRecord.objects.get()
    today = timezone.localdate()
    assert (kept.code, kept.kind, kept.bought_on, kept.due_on) == ("tach-1", "optical", today, None)
    assert kept.check_by > today
    assert "check is due" not in shop.get("/shelf/instruments/").content.decode()


@pytest.mark.parametrize(
    ("typed", "share", "rpm"),
    [
        ("", 0, 0),
        ("?", 0, 0),
        ("don't know", 0, 0),
        ("0.05 %", 0.0005, 0),
        ("± 0.05", 0.0005, 0),
        ("2 rpm", 0, 2),
        ("±2 rpm", 0, 2),
    ],
)
def test_the_make_says_a_share_or_turns_or_nobody_knows(shop: Client, typed: str, share: float, rpm: float):
    assert shop.post("/start/", ANSWERS | {"tach_accuracy": typed}).status_code == 302
    kept = InstrumentRecord.objects.get()
    assert kept.accuracy == pytest.approx(share)
    assert kept.digits * 60 == pytest.approx(rpm)


@pytest.mark.parametrize("typed", ["abc", "-5", "0", "0 %", "1e999", "50 %", "2 parsecs", "1.234.5,6"])
def test_a_wrong_figure_is_refused_at_its_box_and_nothing_is_kept(shop: Client, typed: str):
    reply = shop.post("/start/", ANSWERS | {"tach_accuracy": typed})
    page = reply.content.decode()
    assert reply.status_code == 422
    assert 'id="id_tach_accuracy_error"' in page
    assert 'value="Example Mowers"' in page
    assert InstrumentRecord.objects.count() == 0
    assert shop_settings().name == ""


def test_as_bought_the_figure_of_the_make_counts_though_never_under_half_of_its_kind(shop: Client):
    """Docs: half of an optical one's 1 % for a year (common practice, no source): 15 rpm of 3,000."""
    shop.post("/start/", ANSWERS | {"tach_accuracy": "0.05 %"})
    today = timezone.localdate().isoformat()
    found = assumed(instrument_of(InstrumentRecord.objects.get()), speed=50.0, on=today)
    assert found is not None
    assert found.half_width * 60 == pytest.approx(15.0)
