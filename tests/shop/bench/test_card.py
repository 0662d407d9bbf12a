"""The one-minute card: four boxes and two ticks to a verdict and its papers, and no start value that flatters."""

import math
import re

import pytest
from django.test import Client

from snath.shop.bench.jobs.card import KIND
from snath.shop.records.models import Customer, InstrumentRecord, JobRecord, MachineRecord
from snath.shop.records.store import shop_settings

pytestmark = pytest.mark.django_db

CARD = {
    "blade": "21",
    "found": "3540",
    "left": "3100",
    "owner": "Example Farm",
    "looked_over": "on",
    "state": "on",
}
TACH = {"tach_kind": "optical", "tach_accuracy": ""}


@pytest.fixture
def shop(db) -> Client:
    settings = shop_settings()
    settings.units = "inch"
    settings.save()
    return Client(headers={"host": "localhost"})


def sent(shop: Client, **boxes: str):
    return shop.post(
        "/jobs/card/", {name: text for name, text in (CARD | TACH | boxes).items() if text}, follow=True
    )


def nothing_kept() -> bool:
    return not any(model.objects.exists() for model in (Customer, InstrumentRecord, JobRecord, MachineRecord))


def ceiling(page: str) -> int:
    found = re.search(r'data-ceiling="([0-9,]+)"', page)
    assert found
    return int(found.group(1).replace(",", ""))


def test_a_card_ends_on_its_own_page_with_a_pass_and_its_papers(shop: Client):
    reply = sent(shop)
    page = reply.content.decode()
    assert reply.request["PATH_INFO"] == "/jobs/card/"
    assert 'data-word="pass"' in page
    job = JobRecord.objects.get()
    for paper in ("sheet.pdf", "letter.pdf", "tag.pdf"):
        assert f"/jobs/{job.number}/{paper}" in page
    assert shop.get(f"/jobs/{job.number}/sheet.pdf").content.startswith(b"%PDF")
    assert (job.as_found_rev_s * 60, job.as_left_rev_s * 60) == pytest.approx((3540, 3100))
    assert (job.customer.name, job.machine.name) == ("Example Farm", "Push mower, 21 in")
    assert job.waits_for == "signature"


def test_the_start_value_of_the_blade_is_the_widest_circle_and_opening_it_only_raises_the_ceiling(
    shop: Client,
):
    # By hand: a bar of 21 in, 3 in wide, draws sqrt(21^2 + 3^2) = 21.213 in; 19,000 ft/min on it is 3421.2 rpm;
    # corner to corner, 21 in are the circle itself: 3455.9 rpm.
    wide, straight = (19_000 * 12 / (math.pi * d) for d in (math.hypot(21, 3), 21))
    taken = ceiling(sent(shop).content.decode())
    opened = ceiling(sent(shop, measured="corner to corner", instrument="tach-1").content.decode())
    assert (taken, opened) == (math.floor(wide), math.floor(straight)) == (3421, 3455)


def test_without_the_tick_that_it_was_looked_over_nothing_passes(shop: Client):
    assert 'data-word="undecided"' in sent(shop, looked_over="").content.decode()


def test_without_a_setting_what_was_found_is_judged(shop: Client):
    page = sent(shop, left="").content.decode()
    assert 'data-word="fail"' in page
    assert JobRecord.objects.get().as_left_rev_s is None


def test_a_known_customer_is_not_made_twice_and_the_shelf_s_tachometer_is_taken(shop: Client):
    sent(shop)
    reply = shop.post("/jobs/card/", CARD | {"owner": "example farm", "blade": "22"}, follow=True)
    assert 'data-word="pass"' in reply.content.decode()
    assert (Customer.objects.count(), InstrumentRecord.objects.count(), JobRecord.objects.count()) == (
        1,
        1,
        2,
    )


WRONG = (
    ("blade", "abc"),
    ("blade", ""),
    ("blade", "50 ft"),
    ("blade", "-5"),
    ("found", "fast"),
    ("found", ""),
    ("left", "3,1 rpm"),
    ("left_2", "2100"),
    ("rated_max", "many"),
    ("maker_tolerance", "50"),
    ("tach_accuracy", "abc"),
    ("state", ""),
    ("serial", "x" * 61),
)


@pytest.mark.parametrize(("box", "typed"), WRONG)
def test_a_wrong_entry_is_named_at_its_box_and_nothing_is_kept_or_lost(shop: Client, box: str, typed: str):
    reply = sent(shop, **{box: typed})
    page = reply.content.decode()
    assert reply.status_code == 422
    assert 'class="fault"' in page
    told = {"left_2": "found", "maker_tolerance": "maker_speed"}.get(box, box)
    assert f'id="id_{told}_error"' in page
    assert nothing_kept()
    if box != "owner":
        assert 'value="Example Farm"' in page


def test_an_inductive_tachometer_asks_how_often_it_sparks(shop: Client):
    reply = sent(shop, tach_kind="inductive")
    assert reply.status_code == 422
    assert 'id="id_sparks_error"' in reply.content.decode()
    assert nothing_kept()
    sent(shop, tach_kind="inductive", sparks="every turn")
    assert JobRecord.objects.get().as_left_rev_s * 60 == pytest.approx(3100)


def test_a_german_card_in_millimetres_and_with_a_comma(shop: Client):
    settings = shop_settings()
    settings.units = "metric"
    settings.save()
    german = Client(headers={"host": "localhost", "accept-language": "de"})
    reply = german.post(
        "/jobs/card/", CARD | TACH | {"blade": "533,4", "found": "3.540", "left": "3.100"}, follow=True
    )
    page = reply.content.decode()
    assert 'data-word="pass"' in page
    assert "3.421" in page


def test_a_customer_s_page_begins_their_card_and_their_machine_and_no_other_customer_s_draft(shop: Client):
    one = Customer.objects.create(name="Example Farm")
    other = Customer.objects.create(name="Example House")
    page = shop.get(f"/shelf/customers/{one.pk}/").content.decode()
    assert f"/jobs/card/?customer={one.pk}" in page
    assert 'value="Example Farm"' in shop.get(f"/jobs/card/?customer={one.pk}").content.decode()
    new = shop.get(f"/jobs/new/machine/?customer={one.pk}").content.decode()
    assert f'value="{one.pk}" selected' in new
    key = re.search(r'data-draft="([^"]+)"', new).group(1)
    assert shop.post(f"/drafts/{key}/", {"name": "Begun for one", "kind": KIND}).status_code == 204
    assert "Begun for one" in shop.get(f"/jobs/new/machine/?customer={one.pk}").content.decode()
    assert "Begun for one" not in shop.get(f"/jobs/new/machine/?customer={other.pk}").content.decode()
    assert "Begun for one" not in shop.get("/jobs/new/machine/").content.decode()
    assert shop.get("/jobs/card/?customer=nobody").status_code == 404
