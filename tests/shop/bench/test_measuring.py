"""Clips, flash rates and comparisons through the pages, on signals of our own whose speed is known."""

import hashlib
import re

import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from benchmarks.simulator.engine import Scene, record
from benchmarks.simulator.files import sound_file
from snath.decisions.job.schema import job_from_json
from snath.shop.records.models import Attachment, JobRecord
from snath.shop.site.data_folder import DataFolder
from tests.shop.demo_shop import demo_shop

pytestmark = pytest.mark.django_db

TRUE_RPM = 3100.0
STATE = {
    "warm": "on",
    "choke_off": "on",
    "on_stop": "on",
    "condition": "blades in air",
    "shaft": "crankshaft",
}


def clip(kind: str = "m4a", *, rpm: float = TRUE_RPM, seed: int = 7) -> SimpleUploadedFile:
    take = record(Scene(rev_s=rpm / 60, seconds=5.0, snr_db=10.0), np.random.default_rng(seed))
    return SimpleUploadedFile(f"clip.{kind}", sound_file(take.samples, take.rate, kind))


@pytest.fixture
def shop(db, tmp_path, settings) -> Client:
    settings.FOLDER = DataFolder(tmp_path)
    demo_shop()
    return Client(headers={"host": "localhost"})


def newest(number: int):
    kept = JobRecord.objects.get(number=number)
    return job_from_json(kept.versions.order_by("-version").first().job_json)


def test_a_clip_becomes_a_reading_with_its_hash_and_time(shop: Client):
    sent = clip()
    content = sent.read()
    sent.seek(0)
    reply = shop.post("/jobs/3/listen/", {**STATE, "stage": "as left", "base": "4", "clip": sent})
    assert reply.status_code == 302, re.findall('fault">([^<]*)', reply.content.decode())
    job = newest(3)
    reading = job.as_left.readings[-1]
    sha256 = hashlib.sha256(content).hexdigest()
    assert reading.value.value * 60 == pytest.approx(TRUE_RPM, rel=0.005)  # the simulator's own setting
    assert reading.evidence == job.evidence[-1].sha256 == Attachment.objects.get().sha256 == sha256
    assert re.match(r"\d{4}-\d\d-\d\dT\d\d:\d\d", reading.at)
    assert not reading.confirmed


def test_three_agreeing_comparisons_lift_the_doubt_of_a_sound(shop: Client):
    for seed in (1, 2, 3):
        entries = {"instrument": "tach-1", "speed_1": "3100", "speed_2": "3101", "speed_3": "3099"}
        reply = shop.post("/jobs/3/compare/", {**entries, "clip": clip("wav", seed=seed)})
        assert reply.status_code == 200, re.findall('fault">([^<]*)', reply.content.decode())
    assert "counts as checked here" in reply.content.decode()
    shop.post("/jobs/3/listen/", {**STATE, "stage": "as left", "base": "4", "clip": clip("wav", seed=9)})
    assert newest(3).as_left.readings[-1].confirmed


def test_the_same_clip_is_not_compared_twice(shop: Client):
    entries = {"instrument": "tach-1", "speed_1": "3100"}
    assert shop.post("/jobs/3/compare/", {**entries, "clip": clip("wav")}).status_code == 200
    assert shop.post("/jobs/3/compare/", {**entries, "clip": clip("wav")}).status_code == 422


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("clip.wav", b"ffconcat version 1.0\nfile /etc/passwd\n"),
        ("clip.m4a", b""),
        ("clip.mp4", b"\x00" * 5000),
        ("clip.exe", b"MZ" + b"\x00" * 500),
        ("../../clip.svg", b"<svg/>"),
    ],
)
def test_a_damaged_or_tricky_clip_is_refused_and_adds_no_version(shop: Client, name: str, content: bytes):
    sent = SimpleUploadedFile(name, content)
    reply = shop.post("/jobs/3/listen/", {**STATE, "stage": "as left", "base": "4", "clip": sent})
    assert reply.status_code == 422
    assert JobRecord.objects.get(number=3).version == 4


def test_flash_rates_give_the_speed_and_one_alone_does_not(shop: Client):
    def speeds(rates: str) -> list[str]:
        reply = shop.post("/measure/strobe/", {"rates": rates, "alike": "1", "instrument": "other"})
        return re.findall(r'data-rpm="([^"]*)"', reply.content.decode())

    # By hand, two successive single images: n = f1 f2 / (f1 - f2); 2000 and 1500 give 6000.
    assert float(speeds("2000 1500\n2000 1500\n2000 1500")[0]) == pytest.approx(6000)
    assert speeds("2000") == [""]


def test_a_spark_counting_tachometer_is_read_by_the_engines_own_ignition(shop: Client):
    shop.post(
        "/shelf/instruments/",
        {
            "code": "spark",
            "name": "Spark counter",
            "kind": "inductive",
            "accuracy": "0.1",
            "per_turn": "0.5",
            "check_every_months": "12",
        },
    )
    entries = {**STATE, "stage": "as left", "base": "4", "instrument": "spark"}
    speeds = {"speed_1": "6200", "speed_2": "6202", "speed_3": "6198"}
    assert shop.post("/jobs/3/reading/", {**entries, **speeds}).status_code == 302
    # By hand: a wasted spark comes every turn; set for one in two turns the display shows double.
    assert newest(3).as_left.readings[-1].value.value * 60 == pytest.approx(3100)
