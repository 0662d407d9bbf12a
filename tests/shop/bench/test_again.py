"""Last year's machine again: its sizes are asked once, a yes goes straight to the reading, a change keeps the rest."""

import re

import pytest
from django.test import Client

from snath.shop.bench.jobs.kept import newest
from snath.shop.records.models import JobRecord
from tests.shop.demo_shop import demo_shop

SIZE = "10 1/2 in ± 1/32 in"  # as the demo sheet has it

pytestmark = pytest.mark.django_db


@pytest.fixture
def shop(db) -> Client:
    demo_shop()
    return Client(headers={"host": "localhost"})


def last() -> JobRecord:
    return JobRecord.objects.order_by("-number").first()


def test_a_finished_job_s_row_leads_to_the_question_with_last_year_s_sizes(shop: Client):
    record = JobRecord.objects.get(number=1).machine
    assert f"/shelf/machines/{record.pk}/again/" in shop.get("/jobs/?waits=done").content.decode()
    page = shop.get(f"/shelf/machines/{record.pk}/again/").content.decode()
    assert "Same blade?" in page
    assert f"<strong>{SIZE}</strong>" in page


def test_a_yes_opens_a_job_on_the_same_machine_and_goes_to_its_reading(shop: Client):
    record = JobRecord.objects.get(number=1).machine
    before = newest(JobRecord.objects.filter(machine=record).order_by("-number").first().number)
    reply = shop.post(f"/shelf/machines/{record.pk}/again/", {"same": "yes"})
    assert reply.url == f"/jobs/{last().number}/reading/"
    opened = newest(last().number)
    assert opened.record.machine_id == record.pk
    assert opened.job.machine == before.job.machine
    assert not opened.job.as_found.readings


def test_only_the_size_that_changed_changes(shop: Client):
    record = JobRecord.objects.get(number=4).machine
    before = newest(4).job.machine
    page = shop.get(f"/shelf/machines/{record.pk}/again/").content.decode()
    assert "Same blade, same pulleys?" in page
    boxes = {name: value for name, value in _boxes(page).items() if not name.endswith("csrfmiddlewaretoken")}
    pulley = next(name for name in boxes if name.endswith("driver_outside"))
    reply = shop.post(f"/shelf/machines/{record.pk}/again/", boxes | {pulley: "4"})
    assert reply.status_code == 302
    now = newest(last().number).job.machine
    assert now.couplings[0].parts[0].size.value == pytest.approx(4 * 0.0254)
    assert now.couplings[0].parts[1].size == before.couplings[0].parts[1].size
    assert [m.sizes for m in now.members] == [m.sizes for m in before.members]


def test_a_wrong_size_is_named_at_its_box_and_opens_nothing(shop: Client):
    record = JobRecord.objects.get(number=4).machine
    count = JobRecord.objects.count()
    boxes = _boxes(shop.get(f"/shelf/machines/{record.pk}/again/").content.decode())
    pulley = next(name for name in boxes if name.endswith("driver_outside"))
    reply = shop.post(f"/shelf/machines/{record.pk}/again/", boxes | {pulley: "4 parsecs"})
    page = reply.content.decode()
    assert reply.status_code == 422
    assert f'id="id_{pulley}_error"' in page
    assert "4 parsecs" in page
    assert JobRecord.objects.count() == count


def _boxes(page: str) -> dict[str, str]:
    found = {}
    for tag in re.findall(r"<input [^>]*>", page):
        name, value = (re.search(rf'{key}="([^"]*)"', tag) for key in ("name", "value"))
        if name and re.match(r"[dp][0-9]", name.group(1)):
            found[name.group(1)] = value.group(1) if value else ""
    return found
