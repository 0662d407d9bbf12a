"""A phone named on the pages: its own comparisons count in the budget, and no other's."""

import html
import re

import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from benchmarks.simulator.engine import Scene, record
from benchmarks.simulator.files import sound_file
from snath.decisions.job.schema import job_from_json
from snath.decisions.reading.compared import BIAS, Comparison
from snath.shop.media.comparisons import NAME, keep_comparison, kept_comparisons
from snath.shop.records.models import JobRecord
from snath.shop.site.data_folder import DataFolder
from tests.shop.demo_shop import demo_shop

pytestmark = pytest.mark.django_db

STATE = {
    "warm": "on", "choke_off": "on", "on_stop": "on", "condition": "blades in air", "shaft": "crankshaft",
    "stage": "as left",
}  # fmt: skip
OFF = 0.004  # by which the red phone's recordings differ from the tachometer


@pytest.fixture
def shop(db, tmp_path, settings) -> Client:
    settings.FOLDER = DataFolder(tmp_path)
    demo_shop()
    return Client(headers={"host": "localhost"})


@pytest.fixture
def compared(shop, tmp_path) -> Client:
    """Three comparisons of a red phone that is 0.4 % off, three of a blue one that is not off at all."""
    for phone, off in (("red", OFF), ("blue", 0.0)):
        for _ in range(3):
            one = Comparison("sound", 50.0 * (1 + off), 0.01, 50.0, 0.01, recorder=phone)
            keep_comparison(tmp_path, one)
    return shop


def clip(seed: int = 7) -> SimpleUploadedFile:
    take = record(Scene(rev_s=3100 / 60, seconds=5.0, snr_db=10.0), np.random.default_rng(seed))
    return SimpleUploadedFile("clip.wav", sound_file(take.samples, take.rate, "wav"))


def judged(shop: Client, **named: str):
    """The reading a job has after a clip with that phone."""
    base = JobRecord.objects.get(number=3).version
    reply = shop.post("/jobs/3/listen/", {**STATE, **named, "base": str(base), "clip": clip()})
    assert reply.status_code == 302, re.findall('fault">([^<]*)', reply.content.decode())
    kept = JobRecord.objects.get(number=3)
    return job_from_json(kept.versions.order_by("-version").first().job_json).as_left.readings[-1]


def bias(reading) -> float:
    """The line of the budget that comparisons bring, as a share of the speed."""
    return sum(line.u for line in reading.value.lines if line.source == BIAS) / reading.value.value


def test_only_the_comparisons_of_the_phone_that_is_named_enter_the_budget(compared):
    # By hand: all alike, so the mean is the difference; of 0.004 squared the claimed 2 (0.01/50)^2 are taken off.
    share = OFF * (1 - 2 * 0.0002**2 / OFF**2) ** 0.5
    red, blue, unknown = (
        judged(compared, **n) for n in ({"phone": "red"}, {"phone": "blue"}, {"phone_typed": "new"})
    )
    assert bias(red) == pytest.approx(share, rel=0.01)
    assert (bias(blue), bias(unknown)) == (0.0, 0.0)
    assert (blue.confirmed, unknown.confirmed) == (True, False)
    assert 0 < bias(judged(compared)) < share  # unnamed, all six count, whose mean is half as far off


def test_a_phone_is_chosen_among_those_compared_or_typed_but_not_both(compared):
    page = compared.get("/measure/").content.decode()
    assert re.findall(r'<option value="([a-z]*)"[^>]*>', page.split('name="phone"')[1].split("</select>")[0]) == [
        "", "blue", "red",
    ]  # fmt: skip
    reply = compared.post(
        "/measure/", {"engine": "4-1", "phone": "red", "phone_typed": "mine", "clip": clip()}
    )
    page = html.unescape(reply.content.decode())
    assert reply.status_code == 422
    assert "“mine”: must be left empty where one is chosen above" in page
    assert '<option value="red" selected' in page
    assert 'name="phone_typed" value="mine"' in page


def test_a_shop_that_compared_none_has_only_the_box_to_type_in(shop):
    for path in ("/measure/", "/jobs/3/listen/", "/jobs/3/compare/"):
        page = shop.get(path).content.decode()
        assert 'name="phone_typed"' in page, path
        assert 'name="phone"' not in page, path


def test_the_page_says_whether_the_phone_was_ever_compared(compared):
    def said(**named: str) -> str:
        return html.unescape(
            compared.post("/measure/", {"engine": "4-1", "clip": clip(), **named}).content.decode()
        )

    assert "3 comparisons of red (sound) with a tachometer count in this doubt." in said(phone="red")
    assert "mine (sound) was never compared with a tachometer here" in said(phone_typed="mine")
    assert "is an indication until this shop has compared it" in said(phone_typed="mine")
    assert "is an indication until this shop has compared it" not in said(phone="blue")


def test_a_comparison_made_on_the_page_is_kept_for_the_phone_that_was_named(compared, tmp_path):
    entries = {"instrument": "tach-1", "speed_1": "3100", "speed_2": "3101", "speed_3": "3099"}
    for seed, named in ((1, {"phone": "red"}), (2, {"phone_typed": "green"})):
        reply = compared.post("/jobs/3/compare/", {**entries, **named, "clip": clip(seed)})
        assert reply.status_code == 200, re.findall('fault">([^<]*)', reply.content.decode())
    assert [one.recorder for one in kept_comparisons(tmp_path)[-2:]] == ["red", "green"]
    page = html.unescape(compared.get("/jobs/3/compare/").content.decode())
    assert "green (sound): 1 of 3 comparisons so far." in page


def test_a_damaged_list_of_comparisons_is_told_where_a_clip_is_read_and_not_before(shop, tmp_path):
    (tmp_path / NAME).write_text("not a comparison\n")
    assert shop.get("/measure/").status_code == 200
    reply = shop.post("/measure/", {"engine": "4-1", "clip": clip()})
    assert reply.status_code == 422
    assert "is no comparison; mend or remove it" in reply.content.decode()
