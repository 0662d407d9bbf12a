"""Entries a phone took down without the bench: each once, its own person's, and never judged before somebody looked."""

import re
from uuid import uuid4

import pytest

from snath.shop.bench.yard.entries import MOST, waiting
from snath.shop.records.jobs import Draft
from snath.shop.records.models import Customer, JobRecord, JobVersion, Person
from tests.shop.demo_shop import demo_shop

pytestmark = pytest.mark.django_db

READING = {"kind": "reading", "stage": "as found", "condition": "blades in air", "speed_1": "3090"}


def sent(browser, **boxes):
    entry = {"key": str(uuid4()), "at": "2026-11-30T08:00:00Z", "person": str(browser.person.pk), **boxes}
    return entry, browser.post("/yard/taken/", entry)


@pytest.fixture
def shop(mechanic):
    demo_shop()
    return mechanic


def test_sent_twice_it_is_there_once_and_nothing_was_judged_by_it(shop):
    versions = JobVersion.objects.count()
    entry, reply = sent(shop, **READING, job="4")
    assert reply.json() == {"taken": entry["key"]}
    again = shop.post("/yard/taken/", {**entry, "speed_1": "9999"})  # the first that arrived counts
    assert again.json() == {"taken": entry["key"]}
    (one,) = waiting(shop.person)
    assert one.boxes["speed_1"] == "3090"
    assert JobVersion.objects.count() == versions


def test_an_entry_is_filed_once_by_the_form_it_was_opened_in(shop):
    entry, _ = sent(shop, **READING, job="4")
    address = f"/jobs/4/reading/?yard={entry['key']}"
    page = shop.get(address).content.decode()
    assert 'value="3090"' in page
    assert not re.search(r"data-caution[^>]*checked|checked[^>]*data-caution", page)
    base = JobRecord.objects.get(number=4).version
    ticks = dict.fromkeys(("looked_over", "warm", "choke_off", "on_stop"), "on")
    shaft = re.search(r'name="shaft".*?<option value="([^"]*)"', page, re.DOTALL).group(1)
    instrument = re.search(r'name="instrument".*?<option value="([^"]*)"', page, re.DOTALL).group(1)
    form = {**READING, **ticks, "base": str(base), "shaft": shaft, "instrument": instrument}
    reply = shop.post(address, form)
    assert reply.status_code == 302, re.findall(r'class="fault">([^<]*)', reply.content.decode())
    assert waiting(shop.person) == []
    # the same form sent again, and the phone that never heard the answer
    twice = shop.post(address, {**form, "base": str(base + 1)})
    assert twice.status_code == 400
    assert JobRecord.objects.get(number=4).version == base + 1
    assert shop.post("/yard/taken/", entry).json() == {"taken": entry["key"]}
    assert waiting(shop.person) == []


def test_a_card_of_the_yard_is_filed_once_with_its_ticks_given_anew(shop):
    entry, _ = sent(shop, kind="card", blade="22 in", found="3090", left="", owner="")
    address = f"/jobs/card/?yard={entry['key']}"
    page = shop.get(address).content.decode()
    assert 'value="22 in"' in page
    assert not re.search(r"data-caution[^>]*checked|checked[^>]*data-caution", page)
    jobs = JobRecord.objects.count()
    form = {"blade": "22 in", "found": "3090", "looked_over": "on", "state": "on"}
    form["instrument"] = re.search(r'name="instrument".*?<option value="([^"]*)"', page, re.DOTALL).group(1)
    assert shop.post(address, form).status_code == 302
    assert (waiting(shop.person), JobRecord.objects.count()) == ([], jobs + 1)
    assert shop.post(address, form).status_code == 422  # the same form sent again
    assert JobRecord.objects.count() == jobs + 1


def test_somebody_elses_entry_and_a_phone_locked_out_are_refused(shop, owner):
    entry = {"key": str(uuid4()), "person": str(owner.person.pk), **READING, "job": "4"}
    assert shop.post("/yard/taken/", entry).status_code == 409
    Person.objects.filter(pk=shop.person.pk).update(is_active=False)
    _, locked = sent(shop, **READING, job="4")
    assert locked.status_code in (302, 403)
    assert shop.get("/yard/along/").status_code in (302, 403)
    assert Draft.objects.filter(key__startswith="yard:").count() == 0


def test_a_reader_and_a_stranger_bring_nothing(reader, stranger):
    assert sent(reader, **READING, job="4")[1].status_code == 403
    assert stranger.get("/yard/along/").status_code == 302
    assert stranger.get("/yard/").status_code == 200  # the page itself is nobody's own


def test_no_customer_lies_on_the_phone(shop):
    page, along = (shop.get(path).content.decode() for path in ("/yard/", "/yard/along/"))
    names = [one.name for one in Customer.objects.all()]
    assert names
    for name in names:
        assert name not in page
        assert name not in along


@pytest.mark.parametrize(
    "wrong",
    [{"key": "1"}, {"key": ""}, {"kind": "letter"}, {"kind": ""}, {"key": "../../etc"}],
)
def test_what_is_no_entry_is_refused_with_what_would_do(shop, wrong):
    _, reply = sent(shop, **{**READING, **wrong})
    assert reply.status_code == 422
    assert "must be" in reply.json()["refused"]
    assert waiting(shop.person) == []


def test_long_and_hostile_entries_are_cut_and_shown_as_text(shop):
    _, reply = sent(shop, kind="card", blade="<script>alert(1)</script>", owner="x" * 5000)
    assert reply.status_code == 200
    page = shop.get("/yard/waiting/").content.decode()
    assert "<script>alert" not in page
    assert "x" * 121 not in page


def test_no_more_wait_than_one_phone_would_bring(shop):
    for _ in range(MOST):
        Draft.objects.create(
            person=shop.person,
            key=f"yard:{uuid4()}",
            fields='{"kind": ["card"]}',
            changed_at="2026-11-30T08:00Z",
        )
    assert sent(shop, kind="card", blade="22 in")[1].status_code == 422


def test_an_entry_nobody_wants_is_put_away_and_does_not_come_back(shop):
    entry, _ = sent(shop, kind="card", blade="22 in")
    shop.post("/yard/waiting/", {"entry": entry["key"]})
    assert waiting(shop.person) == []
    shop.post("/yard/taken/", entry)
    assert waiting(shop.person) == []
