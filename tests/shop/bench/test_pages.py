"""What a page costs, and what it answers to wrong and hostile entries, without a browser."""

import gzip
import re
from pathlib import Path

import pytest
from django.contrib.staticfiles import finders
from django.test import Client
from django.utils import translation

from snath.shop.records.models import Draft, JobRecord, JobVersion
from tests.shop.demo_shop import demo_shop

pytestmark = pytest.mark.django_db

FIRST_PAGE_MOST = 60_000  # bytes, compressed, with everything it loads


@pytest.fixture
def shop(db) -> Client:
    with translation.override("en"):
        demo_shop()
    return Client(headers={"host": "localhost"})


def test_the_first_page_and_all_it_loads_stay_under_60_kb(client: Client):
    page = client.get("/", headers={"host": "localhost"})
    assert page.status_code == 200
    loaded = re.findall(r'(?:src|href)="/static/([^"]+)"', page.content.decode())
    assert len(loaded) >= 3
    sizes = [len(gzip.compress(page.content))]
    sizes += [len(gzip.compress(Path(finders.find(name)).read_bytes())) for name in loaded]
    assert sum(sizes) < FIRST_PAGE_MOST, dict(zip(["page", *loaded], sizes, strict=True))


# Counted from what each page has to look up: its person (who may), the record, its newest version, the
# shop's settings, drafts, instruments, photos. A page that asks once a row would break these at once.
QUERIES = {
    "/": 3,
    "/?blade=22+in": 3,
    "/today/": 3,
    "/jobs/": 2,
    "/jobs/?q=orchard": 8,
    "/jobs/new/": 2,
    "/jobs/new/machine/": 3,
    "/jobs/3/window/": 3,
    "/jobs/3/what-if/?blade-0=22&unit=in": 3,
    "/jobs/3/reading/": 5,
    "/jobs/3/verdict/": 3,
    "/jobs/3/sheet/": 6,
    "/jobs/3/versions/": 4,
    "/jobs/3/sheet.pdf": 5,
    "/measure/": 1,
    "/shelf/": 1,
    "/shelf/machines/": 2,
    "/shelf/customers/": 2,
    "/shelf/instruments/": 2,
    "/shelf/rules/": 3,
    "/teach/": 2,
    "/teach/3/working/": 3,
    "/teach/class-sheet/?number=7&count=3": 3,
}


@pytest.mark.parametrize("path", QUERIES)
def test_a_page_asks_the_database_no_more_often_than_it_must(
    shop: Client, path: str, django_assert_max_num_queries
):
    shop.get(path)  # the first visit of a new shop writes its settings
    with django_assert_max_num_queries(QUERIES[path]):
        assert shop.get(path).status_code == 200


HOSTILE = (
    "9**9**9 mm",
    "nan in",
    "inf",
    "-21 in",
    "1" * 10_000,
    "21 in" + "x" * 300,
    "'; DROP TABLE records_jobrecord; --",
    "<script>alert(1)</script>",
    "{{ 7*7 }}",
    '=HYPERLINK("x")',
    "\x00\x01\x02",
    "３３００ rpm",
    "3,5 in",
    "🪚" * 50,
)


@pytest.mark.parametrize("given", HOSTILE)
def test_a_hostile_blade_is_refused_with_what_would_do_and_echoed_harmlessly(client: Client, given: str):
    reply = client.get("/", {"blade": given}, headers={"host": "localhost"})
    body = reply.content.decode()
    assert reply.status_code == 200
    assert "data-ceiling" not in body
    assert "must be a length" in body or "at most" in body or "200 characters" in body
    assert "<script>alert" not in body
    assert "DROP TABLE records" not in body.replace("&#x27;; DROP TABLE records", "")


@pytest.mark.parametrize("given", HOSTILE)
def test_a_hostile_reading_loses_neither_the_job_nor_what_was_typed(shop: Client, given: str):
    before = JobVersion.objects.count()
    state = {
        "stage": "as found",
        "warm": "on",
        "choke_off": "on",
        "on_stop": "on",
        "condition": "blades in air",
    }
    entries = {**state, "shaft": "crankshaft", "instrument": "tach-1", "speed_1": given, "base": "1"}
    kept = shop.post("/drafts/job:5:reading/", entries)
    assert kept.status_code == 204
    assert Draft.objects.get().fields
    reply = shop.post("/jobs/5/reading/", entries)
    assert reply.status_code == 422
    assert JobVersion.objects.count() == before
    assert 'class="fault"' in reply.content.decode()


def test_a_stale_save_changes_nothing_and_shows_both(shop: Client):
    entries = {"hours": "300", "base": "1"}
    reply = shop.post("/jobs/3/sheet/", entries)
    assert reply.status_code == 409
    assert JobRecord.objects.get(number=3).version == 4
    told = reply.content.decode()
    assert "Somebody else saved first" in told
    assert "<dt>Hours on the meter</dt><dd>300</dd>" in told
    assert "<dt>hours</dt>" not in told


@pytest.mark.parametrize("base", ["", "x", "-1", "99", "1" * 40])
def test_a_forged_version_number_saves_nothing(shop: Client, base: str):
    assert shop.post("/jobs/3/sheet/", {"hours": "300", "base": base}).status_code == 409
    assert JobRecord.objects.get(number=3).version == 4


def test_a_machine_with_nothing_that_has_a_limit_is_refused(shop: Client):
    reply = shop.post("/jobs/new/machine/", {"name": "bare", "kind": "other", "drives": "0", "parts": "0"})
    assert reply.status_code == 422
    assert "add its blade or part" in reply.content.decode()


def test_a_piece_of_sound_with_wrong_numbers_is_refused(shop: Client):
    good = "session=6f1b0f5e-8c0f-4c55-8f7e-2f2a52a1c0de&number=0&start=0&rate=44100"
    sound = b"\x00\x00" * 22_050

    def sent(query: str, body: bytes = sound) -> int:
        reply = shop.post(f"/measure/pieces/?{query}", body, content_type="application/octet-stream")
        return int(reply.status_code)

    assert sent(good) == 200
    for wrong in ("session=../../etc", "number=-1", "start=1e9", "rate=nan", "rate=1"):
        name = wrong.split("=")[0]
        assert sent(re.sub(rf"{name}=[^&]*", wrong, good)) == 400
    assert sent(good, b"\x00") == 400
    assert sent(good, b"\x00" * 1_000_000) == 400


def test_how_a_job_ended_stands_on_each_of_its_pages_and_on_no_other_job(shop: Client):
    for page in ("verdict", "reading", "window"):
        assert "customer declined, do not use" in shop.get(f"/jobs/7/{page}/").content.decode()
        assert "customer declined" not in shop.get(f"/jobs/4/{page}/").content.decode()
