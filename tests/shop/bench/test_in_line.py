"""A clip given to a page stands in line, shows its place, and its answer comes on the page it was asked on."""

import html
import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from snath.decisions.job.schema import job_from_json
from snath.shop.records import line
from snath.shop.records.line import claim, renew
from snath.shop.records.models import Attachment, JobRecord, Person, RecordingAsk
from snath.shop.site.data_folder import DataFolder
from snath.shop.site.line_keeper import read_here
from tests.shop import ladder
from tests.shop.demo_shop import demo_shop

pytestmark = pytest.mark.django_db

STATE = {
    "warm": "on", "choke_off": "on", "on_stop": "on", "condition": "blades in air", "shaft": "crankshaft",
    "stage": "as left", "base": "4",
}  # fmt: skip
STRETCH = {"begin": "4.5", "end": "9.5"}


@pytest.fixture
def shop(db, tmp_path, settings) -> Client:
    settings.FOLDER = DataFolder(tmp_path)
    demo_shop()
    settings.READERS = 1  # somebody else reads; here nobody does until `read_here`
    return Client(headers={"host": "localhost"})


def clip() -> SimpleUploadedFile:
    return SimpleUploadedFile("mower.wav", ladder.as_sound())


def sent_to_the_line(reply) -> str:
    assert reply.status_code == 302
    assert re.fullmatch(r"/measure/line/[0-9]+/", reply["Location"])
    return reply["Location"]


def status(page: str) -> str:
    found = re.search(r'role="status">(.*?)</div>', page, re.DOTALL)
    return html.unescape(re.sub("<[^>]+>", " ", found.group(1))).strip()


def sent_again(shop: Client, page: str):
    """What the button of the page sends, without any script."""
    action = re.search(r'<form method="post" action="([^"]+)" data-send-again>', page).group(1)
    form = page[page.index("data-send-again") :]
    boxes = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)">', form)
    return shop.post(action, {name: html.unescape(value) for name, value in boxes})


def test_the_place_in_line_is_shown_then_how_far_it_is_and_then_the_answer_on_the_same_page(shop):
    other = line.ask(
        Person.objects.create(name="other"), key="k", source="ab" * 32, asked="{}", path="/", entries="{}"
    )
    where = sent_to_the_line(shop.post("/measure/", {"engine": "4-1", "clip": clip()}))
    page = shop.get(where).content.decode()
    assert status(page) == "One recording comes before it."
    assert '<noscript><meta http-equiv="refresh"' in page  # a page without scripts looks again by itself
    assert "data-send-again" not in page
    other.delete()
    assert status(shop.get(where).content.decode()) == "It is next."
    taken = claim("reader")
    renew(taken, done_s=4.0, of_s=16.0)
    assert re.search(r"being read now\.\s+4 of 16 s", status(shop.get(where).content.decode()))
    line.put_back(taken)
    read_here()
    page = shop.get(where).content.decode()
    assert "refresh" not in page
    reply = sent_again(shop, page)
    assert reply.status_code == 200
    answer = reply.content.decode()
    assert answer.count('name="stretch"') == 4  # three held speeds, and the whole
    assert "mower.wav is still here" in answer


def test_on_a_job_the_clip_is_kept_at_once_and_judged_when_it_was_read(shop):
    before = JobRecord.objects.get(number=3).version
    where = sent_to_the_line(shop.post("/jobs/3/listen/", {**STATE, **STRETCH, "clip": clip()}))
    assert Attachment.objects.count() == 1
    assert JobRecord.objects.get(number=3).version == before
    read_here()
    reply = sent_again(shop, shop.get(where).content.decode())
    assert (reply.status_code, reply["Location"]) == (302, "/jobs/3/verdict/")
    job = JobRecord.objects.get(number=3)
    assert (job.version, Attachment.objects.count()) == (before + 1, 1)
    reading = job_from_json(job.versions.order_by("-version").first().job_json).as_left.readings[-1]
    assert reading.value.value * 60 == pytest.approx(3300, rel=2e-3)  # by construction, see `ladder`


def test_a_comparison_and_a_stop_test_wait_the_same_way(shop):
    asked = {"instrument": "tach-1", "speed_1": "3300", **STRETCH, "clip": clip()}
    where = sent_to_the_line(shop.post("/jobs/3/compare/", asked))
    read_here()
    answer = sent_again(shop, shop.get(where).content.decode())
    assert answer.status_code == 200
    assert "1 of 3 comparisons so far" in answer.content.decode()
    page = shop.get("/jobs/3/running/stop/").content.decode()
    stop = {"base": "4", "shaft": "crankshaft", "clip": clip()}
    for name in ("device", "blade_shaft"):
        block = page[page.index(f'name="{name}"') :]
        stop[name] = html.unescape(re.search(r'value="([^"]+)"', block).group(1))
    where = sent_to_the_line(shop.post("/jobs/3/running/stop/", stop))
    read_here()
    reply = sent_again(shop, shop.get(where).content.decode())
    assert reply.status_code in (302, 422)  # judged, or told why this is no stop test
    assert Attachment.objects.count() == 2


def test_a_fault_of_the_clip_is_told_on_the_page_with_its_own_name(shop):
    sent = {"clip": SimpleUploadedFile("walk.wav", b"no sound at all" * 50)}
    where = sent_to_the_line(shop.post("/measure/", sent))
    read_here()
    reply = sent_again(shop, shop.get(where).content.decode())
    assert reply.status_code == 422
    fault = re.search(r'id="id_clip_error">(.*?)</div>', reply.content.decode(), re.DOTALL).group(1)
    assert "walk.wav" in fault
    assert "is no WAV" in fault


def test_the_same_question_is_answered_at_once_and_another_is_not(shop):
    sent_to_the_line(shop.post("/measure/", {"engine": "4-1", "clip": clip()}))
    read_here()
    assert shop.post("/measure/", {"engine": "4-1", "clip": clip()}).status_code == 200
    sent_to_the_line(shop.post("/measure/", {"engine": "2-1", "clip": clip()}))


def test_nobody_sees_what_somebody_else_waits_for(shop, settings):
    sent_to_the_line(shop.post("/measure/", {"clip": clip()}))
    row = RecordingAsk.objects.get()
    row.person = Person.objects.create(name="other")
    row.save()
    assert shop.get(f"/measure/line/{row.pk}/").status_code == 404
    assert shop.get("/measure/line/999999/").status_code == 404


def test_more_than_so_many_of_one_person_are_refused_in_words(shop, monkeypatch):
    monkeypatch.setattr(line, "MOST_OF_ONE", 1)
    sent_to_the_line(shop.post("/measure/", {"engine": "4-1", "clip": clip()}))
    reply = shop.post("/measure/", {"engine": "2-1", "clip": clip()})
    assert reply.status_code == 422
    assert "wait to be read already (1)" in reply.content.decode()
